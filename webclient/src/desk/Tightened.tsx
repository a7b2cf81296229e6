import { useMemo, useState } from 'preact/hooks'
import type { TightenedView } from '../brain/types.ts'
import { tightenedView } from '../parts/seam.ts'
import { moment } from '../parts/when.ts'

type Group = TightenedView['groups'][number]

function Lines({ lines }: Group) {
  return (
    <ul class="plain-list">
      {lines.map((line) => (
        <li key={line.entry} class="place-row">
          <p>
            {line.words},{' '}
            {line.struck === null ? (
              <strong>{line.shown.words}</strong>
            ) : (
              <s>
                <span class="unseen">struck out: </span>
                {line.shown.words}
              </s>
            )}
          </p>
          <p class="soft small">
            {line.step}, {moment(line.at)}, {line.why}
          </p>
          {line.struck && <p class="ink-reason">{line.struck}</p>}
          {line.note && <p class="ink-note">“{line.note}”</p>}
        </li>
      ))}
    </ul>
  )
}

function Groups({ build }: { build: string }) {
  const view = useMemo(() => tightenedView(build), [build]).value
  if (!view) return <p aria-busy="true">Looking in the book …</p>
  if (view.groups.length === 0) return <p>No torque stands in the book of this engine yet.</p>
  return (
    <div class="groups">
      {view.groups.map((group) => (
        <section key={`${group.person} ${group.wrench}`} class="group">
          <h3 class="group-head">
            {group.person}, {group.wrench}
          </h3>
          {group.due && <p class="soft small">Calibration due {group.due}</p>}
          <Lines {...group} />
        </section>
      ))}
    </div>
  )
}

/** The record of tightening: by person and wrench, with what was struck out. */
export function Tightened({ build }: { build: string }) {
  const [open, setOpen] = useState(false)
  return (
    <details class="fold" onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>Who tightened what, with which wrench</summary>
      {open && <Groups build={build} />}
    </details>
  )
}
