import type { ComponentChildren } from 'preact'
import { useState } from 'preact/hooks'
import { HandSheet } from './HandSheet.tsx'
import { News } from './News.tsx'
import { Strip } from './Strip.tsx'
import { hand, nameOf } from './spell.ts'

interface Props {
  title: string
  /** Small line over the title: which engine. */
  over?: string
  /** Where "back" leads; none on the first screen. */
  back?: string
  children?: ComponentChildren
}

/** Strip, way back, title and the person at the stand: the same head on every screen of the stand. */
export function StandHead({ title, over, back, children }: Props) {
  const [open, setOpen] = useState(false)
  return (
    <header class="head">
      <Strip />
      <News />
      <div class="head-row">
        {back && (
          <a class="button plain back" href={back}>
            <span class="unseen">Back</span>
            <svg viewBox="0 0 24 24" width="26" height="26" aria-hidden="true">
              <path d="M15 4l-8 8 8 8" fill="none" stroke="currentColor" stroke-width="3" />
            </svg>
          </a>
        )}
        <div class="grow">
          {over && <p class="over">{over}</p>}
          <h1>{title}</h1>
        </div>
        {children}
        {hand.value && (
          <button type="button" class="button plain who" onClick={() => setOpen(true)}>
            <span class="unseen">At the stand: </span>
            {nameOf(hand.value)}
          </button>
        )}
      </div>
      {open && <HandSheet close={() => setOpen(false)} />}
    </header>
  )
}
