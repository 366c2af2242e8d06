import js from '@eslint/js';
import jsxA11y from 'eslint-plugin-jsx-a11y';
import reactHooks from 'eslint-plugin-react-hooks';
import tseslint from 'typescript-eslint';

/** Forbids imports with the reason a reader needs to find the right place. */
const forbid = (...patterns) => ({ 'no-restricted-imports': ['error', { patterns }] });

const notNode = {
  group: ['node:*', 'fs', 'path', 'child_process'],
  message: 'shared-lib is pure: pass what you need in.',
};
const notShells = {
  group: ['**/electron/**', '**/renderer/**', '**/demo-data/**'],
  message: 'shared-lib knows no shell.',
};
const onlyInMedia = {
  group: ['ffmpeg-static'],
  message: 'Only electron/media knows ffmpeg.',
};

const notNodeInScreens = { group: ['node:*'], message: 'Screens run in a browser: ask through the bridge.' };
const onlyContract = {
  group: ['**/electron/**', '**/demo-data/**'],
  message: 'Screens know shared-lib only, and reach the rest through renderer/bridge.',
};

export default tseslint.config(
  { ignores: ['dist/', 'kernels/', 'demo-output/', 'test-output/', 'node_modules/'] },
  js.configs.recommended,
  {
    files: ['**/*.ts', '**/*.tsx'],
    extends: [...tseslint.configs.recommendedTypeChecked],
    languageOptions: { parserOptions: { projectService: true, tsconfigRootDir: import.meta.dirname } },
    rules: {
      '@typescript-eslint/switch-exhaustiveness-check': 'error',
      '@typescript-eslint/restrict-template-expressions': ['error', { allowNumber: true }],
      ...forbid(onlyInMedia),
    },
  },
  { files: ['electron/media/**/*.ts'], rules: { 'no-restricted-imports': 'off' } },
  {
    files: ['shared-lib/**/*.ts'],
    rules: {
      ...forbid(notNode, notShells, onlyInMedia),
      'no-restricted-globals': ['error', 'process', 'document', 'window', 'performance', 'Buffer'],
      'no-restricted-properties': [
        'error',
        { object: 'Math', property: 'random', message: 'Randomness is passed in.' },
        { object: 'Date', property: 'now', message: 'Time is passed in.' },
      ],
    },
  },
  {
    files: ['renderer/**/*.{ts,tsx}'],
    ignores: ['renderer/vite.config.ts'],
    plugins: { 'react-hooks': reactHooks },
    extends: [jsxA11y.flatConfigs.recommended],
    rules: {
      ...reactHooks.configs.recommended.rules,
      ...forbid(notNodeInScreens, onlyContract, onlyInMedia),
    },
  },
  { files: ['**/*.mjs'], languageOptions: { globals: { process: 'readonly', console: 'readonly' } } },
);
