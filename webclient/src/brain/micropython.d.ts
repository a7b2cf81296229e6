declare module '@micropython/micropython-webassembly-pyscript/micropython.mjs' {
  export const loadMicroPython: import('./host.js').Loader
}

declare module '*.pack?url' {
  const address: string
  export default address
}
