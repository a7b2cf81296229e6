/** Makes the imprint in a thread of its own, so that no thumb has to wait for it. */
import { makeImprint } from './imprint.js'
import { keepImprint, type Makings, nameOf } from './imprints.ts'

async function make(makings: Makings): Promise<void> {
  const [{ loadMicroPython }, pack] = await Promise.all([
    import(/* @vite-ignore */ makings.script),
    fetch(makings.pack).then((response) => response.arrayBuffer()),
  ])
  const bytes = await makeImprint(loadMicroPython, makings.wasm, new Uint8Array(pack))
  if (bytes) await keepImprint({ bytes: new Uint8Array(bytes), madeOf: nameOf(makings) })
}

addEventListener('message', ({ data }) => {
  make(data).finally(close)
})
