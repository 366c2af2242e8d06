/** What the window's preload offers to the screens; it checks nothing: both ends do, who know the contract. */
export interface WindowBridge {
  call: (message: unknown) => Promise<unknown>;
  stop: (job: string) => void;
  /** @returns how to stop listening */
  listen: (listener: (event: unknown) => void) => () => void;
  /** Asks for a folder and copies files that were made to be handed back into it; answers the folder, null where none was chosen. */
  place: (message: unknown) => Promise<unknown>;
  /** Puts what can be done now into the window's menu. */
  showMenu: (list: unknown) => void;
  /** Hears which of it was chosen there, by its label. @returns how to stop listening */
  onChosen: (listener: (label: string) => void) => () => void;
  /** Where a file that was dropped or chosen lies on disk. */
  pathOf: (file: object) => string;
}
