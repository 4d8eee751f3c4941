import react from '@vitejs/plugin-react';
import { defineConfig } from 'vite';

/** Where the development server finds ours; `npm run dev -- --port 8481` sets it. */
const SERVER = process.env['SIEVEWRIGHT_SERVER'] ?? 'http://127.0.0.1:8480';

export default defineConfig({
  root: import.meta.dirname,
  plugins: [react()],
  build: {
    outDir: 'dist',
    emptyOutDir: true,
    target: 'es2022',
  },
  server: {
    proxy: {
      '/api': SERVER,
      '/socket.io': { target: SERVER, ws: true },
    },
  },
});
