import type { GroupView, PlaceView, StepView } from '../../brain/types.ts'

interface Props {
  view: StepView
  group: GroupView | null
  place: PlaceView
}

const filled = (place: PlaceView) => place.accepted !== null || place.not_measured !== null

function stateOf(lit: boolean, done: boolean): string {
  if (lit) return 'lit'
  return done ? 'done' : 'open'
}

/** All groups of the step as they lie, front at the left, and below them the places of the group at hand. */
export function Row({ view, group, place }: Props) {
  return (
    <div class="spots">
      <div class="spots-row groups-row">
        {view.groups.map(({ id, places }) => (
          <span key={id} class={`spot ${stateOf(id === group?.id, places.every(filled))}`} />
        ))}
      </div>
      <div class="spots-row">
        {(group?.places ?? []).map((one) => (
          <span key={one.id} class={`spot ${stateOf(one.id === place.id, filled(one))}`} />
        ))}
      </div>
    </div>
  )
}
