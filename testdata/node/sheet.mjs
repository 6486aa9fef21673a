// Opens CSV files as a spreadsheet does (SheetJS) and prints what it sees: for
// each file the rows of its first sheet, every cell as [type, value, formula].
import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'

const { read, utils } = createRequire(import.meta.url)('xlsx')

const opened = process.argv.slice(2).map((file) => {
  const book = read(readFileSync(file), { type: 'buffer', cellFormula: true, raw: false })
  const sheet = book.Sheets[book.SheetNames[0]]
  const range = utils.decode_range(sheet['!ref'])
  const rows = []
  for (let r = range.s.r; r <= range.e.r; r++) {
    const row = []
    for (let c = range.s.c; c <= range.e.c; c++) {
      const cell = sheet[utils.encode_cell({ r, c })]
      row.push(cell ? { type: cell.t, value: cell.v, formula: cell.f ?? '' } : { type: '', value: '', formula: '' })
    }
    rows.push(row)
  }
  return rows
})
process.stdout.write(JSON.stringify(opened))
