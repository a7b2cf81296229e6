export function Desk() {
  return <p>Desk</p>
}
