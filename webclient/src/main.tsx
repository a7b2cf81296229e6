import { render } from 'preact'

const root = document.getElementById('app')
if (root) render(<h1>Standbook</h1>, root)
