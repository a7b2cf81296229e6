import { useEffect, useState } from 'preact/hooks'
import { devices, strip } from '../parts/seam.ts'
import { Sign, tone } from '../parts/signs.tsx'
import { nameOf } from '../parts/spell.ts'
import { TakeInFile } from '../parts/TakeInFile.tsx'
import { TroubleLine } from '../parts/TroubleLine.tsx'
import { type Trouble, troubleOf } from '../parts/trouble.ts'
import { moment } from '../parts/when.ts'
import { CutOffFold } from './CutOffFold.tsx'
import { JoinPhone } from './JoinPhone.tsx'
import {
  type Device,
  deviceName,
  deviceSays,
  goesOnAs,
  mayCutOff,
  worstDevices,
} from './phonewords.ts'

function useDevices() {
  const [list, setList] = useState<Device[] | null>(null)
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const contact = strip.value.lastContact
  const find = () => {
    devices<{ devices: Device[] }>().then(
      (found) => {
        if (found) setList(worstDevices(found.devices))
        setTrouble(null)
      },
      (failure) => setTrouble(troubleOf(failure)),
    )
  }
  useEffect(find, [contact])
  return { list, trouble, find }
}

function LetIn({ device }: { device: Device }) {
  const { joined_at, joined_by, cut_off_at, cut_off_by } = device
  if (cut_off_at)
    return (
      <p class="said stop">
        <Sign name="abort" />
        <span>
          Cut off {moment(cut_off_at)}
          {cut_off_by && ` by ${nameOf(cut_off_by)}`}
        </span>
      </p>
    )
  if (!joined_at) return null
  return (
    <p class="soft">
      Joined {moment(joined_at)}
      {joined_by && `, let in by ${nameOf(joined_by)}`}
    </p>
  )
}

interface Row {
  device: Device
  all: Device[]
  /** Something was changed: the list is asked for anew. */
  changed: () => void
}

function DeviceRow({ device, all, changed }: Row) {
  const { sign, words } = deviceSays(device)
  const next = goesOnAs(device, all)
  return (
    <li class="card phone-card">
      <h2>{deviceName(device)}</h2>
      <p class="flag">
        <span class={tone(sign)}>
          <Sign name={sign} />
        </span>
        <span>
          {words}
          {next && ` It goes on as: ${next}.`}
        </span>
      </p>
      <div>
        <LetIn device={device} />
        <p class="soft">Last contact {moment(device.last_contact)}</p>
      </div>
      {mayCutOff(device) && <CutOffFold device={device} done={changed} />}
    </li>
  )
}

/** Every phone and browser that ever wrote into the book: whether the shop has all of it. */
export function Phones() {
  const { list, trouble, find } = useDevices()
  return (
    <main class="desk-page stack" id="main">
      <h1>Phones and browsers</h1>
      <p class="soft">
        Each gives its entries numbers without a gap, so that what is missing can be told. A name is
        given on the device itself: tap the strip at its top.
      </p>
      {list && <JoinPhone all={list} />}
      <TroubleLine trouble={trouble} />
      <ul class="cards" aria-label="Phones and browsers">
        {list?.map((device) => (
          <DeviceRow key={device.id} device={device} all={list} changed={find} />
        ))}
      </ul>
      <section class="stack" aria-label="A phone that does not reach the shop">
        <h2>A phone that does not reach the shop</h2>
        <p>
          Tap the strip at its top, write what is unsent to a file, bring the file here and take it
          in. Nothing is entered twice.
        </p>
        <TakeInFile />
      </section>
    </main>
  )
}
