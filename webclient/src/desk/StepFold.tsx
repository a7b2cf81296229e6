import { useMemo, useState } from 'preact/hooks'
import type { StepSummary } from '../brain/types.ts'
import { CautionList } from '../parts/CautionList.tsx'
import { FlagList } from '../parts/FlagLine.tsx'
import { PhotoList } from '../parts/Photos.tsx'
import { placeWordsOf } from '../parts/placewords.ts'
import { StepTable } from '../parts/StepTable.tsx'
import { stepView } from '../parts/seam.ts'
import { Said } from '../parts/signs.tsx'
import { nameOf } from '../parts/spell.ts'
import { moment } from '../parts/when.ts'

function StepBody({ build, step }: { build: string; step: string }) {
  const view = useMemo(() => stepView(build, step), [build, step]).value
  if (!view || view.id !== step) return <p aria-busy="true">Looking in the book …</p>
  return (
    <div class="stack">
      <p>{view.purpose}</p>
      {view.cautions.length > 0 && <h4>Cautions</h4>}
      <CautionList cautions={view.cautions} />
      <FlagList flags={view.flags} label={`Flags of ${view.title}`} />
      <StepTable view={view} />
      <PhotoList build={build} photos={view.photos} placeWords={placeWordsOf(view)} />
    </div>
  )
}

/** A step folded up: open where something is worth a look. */
export function StepFold({ build, step }: { build: string; step: StepSummary }) {
  const [open, setOpen] = useState(step.worst !== null)
  return (
    <details
      class="fold step-fold"
      open={open}
      onToggle={(event) => setOpen(event.currentTarget.open)}
    >
      <summary>
        <h3>{step.title}</h3>
        <Said name={step.state} />
        <span>
          {step.filled} of {step.of}
        </span>
        {step.photos > 0 && (
          <span>
            {step.photos} {step.photos === 1 ? 'picture' : 'pictures'}
          </span>
        )}
        {step.signed && (
          <span>
            signed by {nameOf(step.signed.person)}, {moment(step.signed.at)}
          </span>
        )}
      </summary>
      {open && <StepBody build={build} step={step.id} />}
    </details>
  )
}
