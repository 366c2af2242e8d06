import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import react from '@vitejs/plugin-react';
import { defineConfig, type Plugin } from 'vite';

/** What the pose model's package needs to run the full model, with and without vector instructions. */
const poseFileNames = [
  'pose.js',
  'pose_web.binarypb',
  'pose_landmark_full.tflite',
  'pose_solution_packed_assets.data',
  'pose_solution_packed_assets_loader.js',
  'pose_solution_simd_wasm_bin.js',
  'pose_solution_simd_wasm_bin.wasm',
  'pose_solution_wasm_bin.js',
  'pose_solution_wasm_bin.wasm',
];

/** Puts the model's files beside the worker that runs it, so that nothing is fetched from elsewhere. */
function poseFiles(): Plugin {
  return {
    name: 'pose-files',
    generateBundle() {
      const from = path.dirname(createRequire(import.meta.url).resolve('@mediapipe/pose/package.json'));
      for (const name of poseFileNames)
        this.emitFile({
          type: 'asset',
          fileName: `pose/${name}`,
          source: readFileSync(path.join(from, name)),
        });
    },
  };
}

/** Builds the screens; every shell serves the same files. */
export default defineConfig({
  root: fileURLToPath(new URL('.', import.meta.url)),
  plugins: [react(), poseFiles()],
  // The pose worker has a policy of its own, which goes by its folder.
  worker: { format: 'iife', rolldownOptions: { output: { entryFileNames: 'pose/worker.js' } } },
  build: {
    outDir: '../dist/screens',
    emptyOutDir: true,
    target: 'es2022',
    // The policy allows no data: scripts or styles from elsewhere; small files stay files.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
  },
});
