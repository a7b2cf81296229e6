import type { GroupView, PlaceView, StepView } from '../../brain/types.ts'

interface Props {
  view: StepView
  group: GroupView | null
  place: PlaceView
}

const filled = (place: PlaceView) => place.accepted !== null || place.not_measured !== null

function Cell({
  x,
  width,
  place,
  lit,
}: {
  x: number
  width: number
  place: PlaceView
  lit: boolean
}) {
  const state = lit ? 'lit' : filled(place) ? 'done' : 'open'
  return (
    <g class={`spot ${state}`}>
      <rect x={x} y={30} width={width} height={24} rx="3" />
      {state === 'done' && <path d={`M${x + width / 2 - 5} 42l4 4 7-8`} class="spot-tick" />}
    </g>
  )
}

/** All groups of the step as they lie, front at the left, and the places of the group at hand. */
export function Row({ view, group, place }: Props) {
  const places = group?.places ?? []
  const step = 150 / Math.max(1, view.groups.length)
  const cell = 150 / Math.max(1, places.length)
  return (
    <svg class="drawing-row" viewBox="0 0 160 60" aria-hidden="true">
      {view.groups.map(({ id, places: inside }, at) => (
        <rect
          key={id}
          x={5 + at * step}
          y={8}
          width={Math.max(2, step - 3)}
          height={12}
          rx="2"
          class={
            id === group?.id
              ? 'spot-group lit'
              : inside.every(filled)
                ? 'spot-group done'
                : 'spot-group'
          }
        />
      ))}
      {places.map((one, at) => (
        <Cell
          key={one.id}
          x={5 + at * cell}
          width={Math.max(3, cell - 4)}
          place={one}
          lit={one.id === place.id}
        />
      ))}
    </svg>
  )
}
