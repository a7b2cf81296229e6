import { useState } from 'preact/hooks'
import { catalogue, newId } from '../parts/seam.ts'
import { TroubleLine } from '../parts/TroubleLine.tsx'
import { type Trouble, troubleOf } from '../parts/trouble.ts'
import { type Card, EMPTY_CARD, type RawCard, rowsOf, wrongRow } from './cards.ts'

interface Props {
  /** Takes the card; what it throws is said in the form and the numbers stay. */
  add: (card: Omit<Card, 'version'>) => Promise<void>
  /** Where the form is a draft of this browser: as it stands, and how it is typed. */
  kept?: { raw: RawCard; type: (raw: RawCard) => void }
  /** What holds today, with its source, by the limit's key. */
  now?: Record<string, string>
}

interface RowProps {
  row: { key: string; words: string; unit: string }
  raw: RawCard
  change: (raw: RawCard) => void
  now?: string | undefined
}

const UNITS = ['in', 'mm']

function End({ row, raw, change, side }: RowProps & { side: 'low' | 'high' }) {
  const name = `${row.key} ${side}`
  return (
    <input
      aria-label={`${row.words}, ${side === 'low' ? 'from' : 'to'}`}
      inputMode="decimal"
      autocomplete="off"
      value={raw.ends[name] ?? ''}
      onInput={(event) =>
        change({ ...raw, ends: { ...raw.ends, [name]: event.currentTarget.value } })
      }
    />
  )
}

function Row(props: RowProps) {
  const { row, raw, change } = props
  return (
    <tr>
      <th scope="row">
        {row.words}
        {props.now && <span class="help">Now: {props.now}</span>}
      </th>
      <td>
        <End {...props} side="low" />
      </td>
      <td>
        <End {...props} side="high" />
      </td>
      <td>
        <select
          aria-label={`${row.words}, unit`}
          value={raw.units[row.key] ?? row.unit}
          onChange={(event) =>
            change({ ...raw, units: { ...raw.units, [row.key]: event.currentTarget.value } })
          }
        >
          {UNITS.map((unit) => (
            <option key={unit}>{unit}</option>
          ))}
        </select>
      </td>
    </tr>
  )
}

type RowsProps = Pick<RowProps, 'raw' | 'change'> & { now: Record<string, string> }

function Rows({ raw, change, now }: RowsProps) {
  return (
    <table class="card-rows">
      <thead>
        <tr>
          <th scope="col">Limit</th>
          <th scope="col">From</th>
          <th scope="col">To</th>
          <th scope="col">Unit</th>
        </tr>
      </thead>
      <tbody>
        {(catalogue.value?.card_rows ?? []).map((row) => (
          <Row key={row.key} row={row} raw={raw} change={change} now={now[row.key]} />
        ))}
      </tbody>
    </table>
  )
}

function refuse(code: string, message: string): never {
  throw Object.assign(new Error(message), { code })
}

function cardOf(raw: RawCard): Omit<Card, 'version'> {
  const known = catalogue.value?.card_rows ?? []
  const rows = rowsOf(raw, known)
  const title = raw.title.trim()
  if (title === '' || rows.length === 0)
    refuse('card_empty', 'A card wants its name and at least one limit.')
  const wrong = wrongRow(rows, known)
  if (wrong) refuse('card_row', wrong)
  return { id: newId(), title, rows }
}

/** A spec card: its name and the limits that it gives. It goes before the shop's defaults. */
export function CardForm({ add, kept, now = {} }: Props) {
  const [own, setOwn] = useState<RawCard>(EMPTY_CARD)
  const raw = kept?.raw ?? own
  const setRaw = kept?.type ?? setOwn
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const keep = async () => {
    try {
      await add(cardOf(raw))
      setOwn(EMPTY_CARD)
      setTrouble(null)
    } catch (failure) {
      setTrouble(troubleOf(failure))
    }
  }
  return (
    <div class="stack card-form">
      <div class="field">
        <label for="card-title">Name of the card, as it is packed with the part</label>
        <input
          id="card-title"
          autocomplete="off"
          value={raw.title}
          onInput={(event) => setRaw({ ...raw, title: event.currentTarget.value })}
        />
      </div>
      <Rows raw={raw} change={setRaw} now={now} />
      {kept && (
        <div class="field">
          <label for="card-reason">Why it is added or changed</label>
          <input
            id="card-reason"
            autocomplete="off"
            value={raw.reason ?? ''}
            onInput={(event) => setRaw({ ...raw, reason: event.currentTarget.value })}
          />
        </div>
      )}
      <TroubleLine trouble={trouble} />
      <button type="button" class="button" onClick={() => void keep()}>
        Add this card
      </button>
    </div>
  )
}
