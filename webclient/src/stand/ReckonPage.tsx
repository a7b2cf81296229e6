import { ReckonInputs } from '../parts/ReckonInputs.tsx'
import { ReckonList } from '../parts/ReckonList.tsx'
import { ReckonLine, ReckonResults } from '../parts/ReckonResults.tsx'
import { type ReckonAnswer, type ReckonForm, useReckon, useTyped } from '../parts/reckon.ts'
import { to } from '../parts/router.ts'
import { StandHead } from '../parts/StandHead.tsx'
import { TroubleLine } from '../parts/TroubleLine.tsx'

/** The calculators on the phone. */
export function ReckonPage() {
  return (
    <>
      <StandHead title="Calculators" back="/" />
      <main class="page" id="main">
        <ReckonList href={to.calculator} />
      </main>
    </>
  )
}

/** One calculator on the phone; the line under the thumb follows each digit. Nothing here goes into the book. */
export function Reckoning({ name }: { name: string }) {
  const { answer: form, failed } = useReckon<ReckonForm>({ name })
  const { typed, change, clear } = useTyped(name)
  const { answer } = useReckon<ReckonAnswer>({ name, typed })
  return (
    <div class="standing">
      <StandHead title={form?.title ?? 'Calculator'} back={to.calculators} />
      <main class="floor" id="main">
        <div class="page stack">
          <TroubleLine trouble={failed} />
          {form && <p>{form.purpose}</p>}
          {form && (
            <ReckonInputs
              form={form}
              typed={typed}
              wrong={answer?.problem?.key ?? null}
              change={change}
            />
          )}
          {answer && <ReckonResults answer={answer} />}
        </div>
        <div class="dock reckon-dock">
          <ReckonLine answer={answer} first />
          <button type="button" class="button" onClick={clear}>
            Clear all
          </button>
        </div>
      </main>
    </div>
  )
}
