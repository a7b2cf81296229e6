/** Set by the build. */
declare const __APP_VERSION__: string
