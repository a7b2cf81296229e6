import type { PlaceView } from '../brain/types.ts'
import { Sheet } from '../parts/Sheet.tsx'
import { catalogue } from '../parts/seam.ts'
import { Steppers } from './Steppers.tsx'
import type { Work } from './work.ts'

/** How the shop writes a unit on a key. */
export function unitWords(unit: string | null): string {
  if (unit === null) return ''
  return catalogue.value?.unit_words[unit] ?? unit
}

/** The unit of the digits in the box. Picking another one reads the same digits in it; nothing is converted. */
export function UnitSheet({
  work,
  place,
  close,
}: {
  work: Work
  place: PlaceView
  close: () => void
}) {
  const pick = (unit: string) => {
    void work.pickUnit(place, unit)
    close()
  }
  return (
    <Sheet title="In which unit does the gauge read?" close={close}>
      <div class="two">
        {place.units.map((unit) => (
          <button
            key={unit}
            type="button"
            class="button tall"
            aria-pressed={work.capture.unit.value === unit}
            onClick={() => pick(unit)}
          >
            {unitWords(unit)}
          </button>
        ))}
      </div>
      {work.capture.text.value !== '' && (
        <>
          <p class="ask-value">{work.capture.text.value}</p>
          <Steppers capture={work.capture} />
        </>
      )}
    </Sheet>
  )
}
