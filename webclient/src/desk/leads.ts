/** Who may do at the desk what only a lead does; the server decides the same for itself. */
const MAY_LEAD = ['lead', 'owner']

export function leads({ role }: { role: string }): boolean {
  return MAY_LEAD.includes(role)
}
