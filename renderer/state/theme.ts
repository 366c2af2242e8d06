import { create } from 'zustand';

export const themes = ['system', 'light', 'dark'] as const;
export type Theme = (typeof themes)[number];

const kept = (): Theme => themes.find((each) => each === localStorage.getItem('theme')) ?? 'system';

/** Whether the screens are light or dark, or as the system says; kept in this browser. */
export const useTheme = create<{ theme: Theme }>(() => ({ theme: kept() }));

export function setTheme(theme: Theme): void {
  if (theme === 'system') localStorage.removeItem('theme');
  else localStorage.setItem('theme', theme);
  useTheme.setState({ theme });
  showTheme();
}

export function showTheme(): void {
  const { theme } = useTheme.getState();
  if (theme === 'system') delete document.documentElement.dataset.theme;
  else document.documentElement.dataset.theme = theme;
}
