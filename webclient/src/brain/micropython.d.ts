declare module '@micropython/micropython-webassembly-pyscript/micropython.mjs' {
  export const loadMicroPython: import('./host.js').Loader
  /** Where the script lies; the build adds it. */
  export const address: string | undefined
}

declare module '*.pack?url' {
  const address: string
  export default address
}
