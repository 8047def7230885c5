// Makes the tables of planetary and lunar series in this folder from their published files, leaving out the terms that
// together are too small to matter here. Not needed to build halfarc; kept so that the tables can be made again.
//
//   npm install astronomia@4.2.0 && node make_series.mjs node_modules/astronomia/data .
//
// Source of the numbers: [Bretagnon1988] VSOP87B, [Chapront2003] ELP/MPP02 fitted to DE405 (both in docs/bibliography.md),
// as the npm package astronomia 4.2.0 (MIT) carries them.
import fs from 'node:fs'

const [from, to] = process.argv.slice(2)
const load = (name) =>
  new Function(fs.readFileSync(`${from}/${name}.js`, 'utf8').replace(/export default.*$/ms, 'return m'))()

const arcsec = Math.PI / 180 / 3600

// Drops the smallest terms while the root of the sum of their squares stays below `budget`; `reach` is the largest |T|.
function keep (series, reach, budget) {
  const all = []
  for (const power in series) {
    for (const term of series[power]) all.push({ power: +power, term, size: Math.abs(term[0]) * reach ** power })
  }
  all.sort((a, b) => a.size - b.size)
  let dropped = 0
  let first = 0
  while (first < all.length && dropped + all[first].size ** 2 / 2 < budget ** 2) dropped += all[first++].size ** 2 / 2
  return all.slice(first).sort((a, b) => a.power - b.power || b.size - a.size)
}

const number = (x, digits) => String(+x.toPrecision(digits))

function write (name, head, rows) {
  fs.writeFileSync(`${to}/${name}.inc`, head.map((l) => `// ${l}\n`).join('') + rows.join('\n') + '\n')
  console.log(name, rows.length, 'terms')
}

const budgets = { mercury: 0.004, venus: 0.003, mars: 0.004, jupiter: 0.008, saturn: 0.008, uranus: 0.012, neptune: 0.012 }
for (const planet in budgets) {
  const series = load('vsop87B' + planet)
  const radius = series.R[0][0][0]
  const rows = []
  for (const [variable, scale] of [['L', 1], ['B', 1], ['R', radius]]) {
    for (const { power, term } of keep(series[variable], 0.25, budgets[planet] * arcsec * scale)) {
      rows.push(`{'${variable}', ${power}, ${number(term[0], 11)}, ${number(term[1], 11)}, ${number(term[2] ?? 0, 13)}},`)
    }
  }
  write('vsop87b_' + planet, [
    `data: VSOP87B, ${planet}: heliocentric spherical coordinates, dynamical ecliptic and equinox J2000 [Bretagnon1988].`,
    'L and B in radians, R in au: the sum of amplitude * cos(phase + frequency * T) * T^power, T in thousands of Julian',
    `years from J2000 (TDB). Terms left out: root sum of squares ${budgets[planet]} arcsec in each coordinate for |T| <= 0.25.`,
    'Columns: coordinate, power, amplitude, phase (rad), frequency (rad per 1000 years). Made by make_series.mjs.'
  ], rows)
}

const moon = load('elpMppDe')
const rows = []
for (const [variable, budget] of [['L', 0.01], ['B', 0.01], ['R', 0.01 * arcsec * 384400]]) {
  for (const { power, term } of keep(moon[variable], 2.5, budget)) {
    rows.push(`{'${variable}', ${power}, ${number(term[0], 11)}, {${term.slice(1).map((x) => number(x, 13)).join(', ')}}},`)
  }
}
write('elpmpp02_moon', [
  'data: ELP/MPP02 fitted to DE405, the Moon: geocentric, inertial mean ecliptic and equinox (departing from J2000) [Chapront2003].',
  'L and B in arcseconds (L is added to the mean longitude W1), R in km: the sum of amplitude * sin(p0 + p1 T + p2 T^2 +',
  'p3 T^3 + p4 T^4) * T^power, T in Julian centuries from J2000 (TDB). Terms left out: root sum of squares 0.01 arcsec in',
  'each coordinate for |T| <= 2.5, besides those that the package left out. Columns: coordinate, power, amplitude,',
  '{p0 .. p4} in radians. Made by make_series.mjs.'
], rows)
