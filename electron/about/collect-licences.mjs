/* Writes dist/licences.json: what the program is made of, each part with its licence in full. */
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';
import { fileURLToPath } from 'node:url';

const root = path.join(path.dirname(fileURLToPath(import.meta.url)), '..', '..');
const read = (...names) => readFileSync(path.join(root, ...names), 'utf8');
const require = createRequire(import.meta.url);

/** The licence's own text, for packages that name it and do not carry it. */
const textOf = (spdx) => {
  try {
    return require(`spdx-license-list/licenses/${spdx}.json`).licenseText;
  } catch {
    return '';
  }
};

/** Every file in which a package states a licence or a notice. */
const statedIn = (folder) =>
  readdirSync(folder, { withFileTypes: true })
    .filter((each) => each.isFile() && /^(licen[cs]e|copying|notice)/i.test(each.name))
    .map((each) => readFileSync(path.join(folder, each.name), 'utf8').trim())
    .join('\n\n');

const { packages } = JSON.parse(read('package-lock.json'));
const shipped = Object.entries(packages).filter(
  ([place, { dev, devOptional }]) =>
    place !== '' && !dev && !devOptional && existsSync(path.join(root, place)),
);
const parts = shipped.map(([place, { version, license = 'see its text' }]) => ({
  name: place.split('node_modules/').at(-1),
  version,
  licence: license,
  text: statedIn(path.join(root, place)) || textOf(license),
}));

const electron = packages['node_modules/electron'];
const chromium =
  'Electron holds Chromium and Node.js; the licences of their parts lie beside the installed program as LICENSES.chromium.html.';
const ffmpeg =
  'The installers carry ffmpeg as a program of its own, unchanged, as the package ffmpeg-static provides it. It is built with libx264 and licensed as a whole under the GNU General Public License, version 3 or later. Its source code is published by the FFmpeg project and named in the notes of that package; whoever received the program may pass both on under the same licence.';
const more = [
  {
    name: 'Electron',
    version: electron.version,
    licence: electron.license,
    text: `${chromium}\n\n${statedIn(path.join(root, 'node_modules', 'electron'))}`,
  },
  {
    name: 'ffmpeg',
    version: '',
    licence: 'GPL-3.0-or-later',
    text: `${ffmpeg}\n\n${textOf('GPL-3.0-or-later')}`,
  },
];
const { version, license } = JSON.parse(read('package.json'));
const lockstep = { name: 'Lockstep', version, licence: license, text: read('LICENSE').trim() };
// A package that is there twice in one version has one licence.
const once = new Map([...more, ...parts].map((part) => [`${part.name} ${part.version}`, part]));
const byName = (a, b) => (a.name.toLowerCase() < b.name.toLowerCase() ? -1 : 1);
const all = { schema: 1, version, parts: [lockstep, ...[...once.values()].sort(byName)] };
writeFileSync(path.join(root, 'dist', 'licences.json'), JSON.stringify(all));
