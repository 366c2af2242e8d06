/** As much of WebAssembly as is used here: Node has it, its types leave it to the browser's. */
declare namespace WebAssembly {
  class Module {
    constructor(code: Uint8Array);
  }
  class Instance {
    constructor(module: Module, imports?: Record<string, object>);
    readonly exports: unknown;
  }
}
