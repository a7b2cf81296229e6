import { ReckonInputs } from '../parts/ReckonInputs.tsx'
import { ReckonList } from '../parts/ReckonList.tsx'
import { ReckonLine, ReckonResults } from '../parts/ReckonResults.tsx'
import { type ReckonAnswer, type ReckonForm, useReckon, useTyped } from '../parts/reckon.ts'
import { to } from '../parts/router.ts'
import { TroubleLine } from '../parts/TroubleLine.tsx'

/** The calculators at the desk. */
export function DeskReckon() {
  return (
    <main class="desk-page" id="main">
      <h1>Calculators</h1>
      <ReckonList href={to.deskCalculator} />
    </main>
  )
}

/** One calculator at the desk: inputs at the left, all that comes of them at the right. */
export function DeskReckoning({ name }: { name: string }) {
  const { answer: form, failed } = useReckon<ReckonForm>({ name })
  const { typed, change, clear } = useTyped(name)
  const { answer } = useReckon<ReckonAnswer>({ name, typed })
  return (
    <main class="desk-page stack" id="main">
      <p>
        <a href={to.deskCalculators}>All calculators</a>
      </p>
      <h1>{form?.title ?? 'Calculator'}</h1>
      <TroubleLine trouble={failed} />
      {form && <p>{form.purpose}</p>}
      <div class="reckon-desk">
        <div class="stack">
          {form && (
            <ReckonInputs
              form={form}
              typed={typed}
              wrong={answer?.problem?.key ?? null}
              change={change}
            />
          )}
          <button type="button" class="button" onClick={clear}>
            Clear all
          </button>
        </div>
        <div class="stack">
          <ReckonLine answer={answer} />
          {answer && <ReckonResults answer={answer} />}
        </div>
      </div>
    </main>
  )
}
