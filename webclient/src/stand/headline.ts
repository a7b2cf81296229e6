/** Which judged value, and which of its limits, the row of readings shows while a number is typed. */
import type { GroupView, LimitView, Preview, ValueView } from '../brain/types.ts'

/** The value that the preview's verdict comes from; before a number is typed, the group's first judged one. */
export function valueToShow(preview: Preview | null, group: GroupView | null): ValueView | null {
  const values = preview?.values.length ? preview.values : (group?.values ?? [])
  const worst = preview && values.find(({ verdict }) => verdict === preview.verdict)
  return worst || (values.find(({ limits }) => limits.length > 0) ?? values[0] ?? null)
}

/** The limit that gave the value its verdict, else the first. */
export function limitToShow(value: ValueView | null): LimitView | null {
  if (!value) return null
  const limit = value.limits.find(({ verdict }) => verdict === value.verdict)
  return limit ?? value.limits[0] ?? null
}
