import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { showTheme } from './state/theme.ts';
import { App } from './app.tsx';
import './style/base.css';
import './style/menu.css';

showTheme();
createRoot(document.getElementById('app')!).render(
  <StrictMode>
    <App />
  </StrictMode>,
);
