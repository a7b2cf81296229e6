import { useEffect, useLayoutEffect, useRef } from 'preact/hooks'
import type { GoCard as Card, Goes, StepView } from '../brain/types.ts'
import { Sign } from '../parts/signs.tsx'
import { TroubleLine } from '../parts/TroubleLine.tsx'
import { KeptLine } from './KeptLine.tsx'
import { More } from './More.tsx'
import { StemTip } from './StemTip.tsx'
import { placesOf } from './walk.ts'
import type { Work } from './work.ts'

interface Props {
  work: Work
  view: StepView
  card: Card
  guide: Goes
  go: () => void
}

const ARROWS: Partial<Record<Card['way'], string>> = {
  longer: 'M12 22V4M4 12l8-9 8 9',
  up: 'M12 22V4M4 12l8-9 8 9',
  shorter: 'M12 2v18M4 12l8 9 8-9',
  down: 'M12 2v18M4 12l8 9 8-9',
}

function Way({ way }: { way: Card['way'] }) {
  const arrow = ARROWS[way]
  if (!arrow) return <Sign name={way === 'good' ? 'in' : 'WARN'} large />
  return (
    <svg class="go-arrow" viewBox="0 0 24 24" aria-hidden="true">
      <path d={arrow} fill="none" stroke="currentColor" stroke-width="4" />
    </svg>
  )
}

function SoFar({ card }: { card: Card }) {
  return (
    <section class="go-list">
      <h3>Goes so far</h3>
      <ol>
        {card.goes.map(({ number, length, mark, says }) => (
          <li key={number} value={number}>
            <strong>{length}</strong> · {mark}
            {says && <p>{says}</p>}
          </li>
        ))}
      </ol>
    </section>
  )
}

/** What a go says: how far to turn, to which length, why; the tip of the stem; readings and goes so far. */
export function GoCard({ work, view, card, guide, go }: Props) {
  const page = useRef<HTMLDivElement>(null)
  useEffect(() => {
    page.current?.scrollTo(0, 0)
    scrollTo(0, 0)
  }, [card.words])
  const next = placesOf(view).get(guide.now ?? '') ?? null
  useLayoutEffect(() => work.onCard(next), [work, next])
  return (
    <main class="floor" id="main">
      <div class="page go" ref={page}>
        <TroubleLine trouble={work.capture.trouble.value} />
        <p class="soft">
          {card.words} · {guide.done} of {guide.of} found
        </p>
        <h2 class="go-say">
          <Way way={card.way} /> <span>{card.say}</span>
        </h2>
        {card.to && <p class="go-length">{card.to}</p>}
        {card.out && <p class="go-out">{card.out}</p>}
        <p class="go-why">{card.why}</p>
        {card.tip && <StemTip tip={card.tip} />}
        <dl class="go-readings">
          {card.readings.map(({ words, shown }) => (
            <div key={words}>
              <dt>{words}</dt>
              <dd>{shown}</dd>
            </div>
          ))}
        </dl>
        <SoFar card={card} />
        <KeptLine capture={work.capture} view={view} />
        <More view={view} />
      </div>
      <div class="dock">
        <button type="button" class="button main wide" onClick={go}>
          {guide.key}
        </button>
      </div>
    </main>
  )
}
