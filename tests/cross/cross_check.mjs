// Compares `halfarc where` and `halfarc plan` with the npm package astronomy-engine at instants and places drawn by lot
// (seeded, so that every run asks the same). That library is good to 0.01 deg and its magnitudes are an older set: the bounds
// below are its errors, not halfarc's, which tests/published/ holds to JPL's figures. Prints rms and worst of each quantity.
//
//   node cross_check.mjs BINARY
import { execFileSync, spawnSync } from 'node:child_process'
import * as Astronomy from 'astronomy-engine'

const binary = process.argv[2]
const kDeg = Math.PI / 180
const kBodies = ['Moon', 'Mercury', 'Venus', 'Mars', 'Jupiter', 'Saturn', 'Uranus', 'Neptune']

let state = 20261125
function random () {
  state = (Math.imul(state, 1103515245) + 12345) & 0x7fffffff
  return state / 0x80000000
}

const differences = new Map()
function compare (what, difference, bound) {
  const d = differences.get(what) ?? { count: 0, squares: 0, worst: 0, bound }
  d.count += 1
  d.squares += difference ** 2
  d.worst = Math.max(d.worst, Math.abs(difference))
  if (Number.isNaN(difference)) d.worst = Infinity
  differences.set(what, d)
}

const signed = (degrees) => ((degrees + 540) % 360) - 180

function separation (ra1, dec1, ra2, dec2) {
  const v = (ra, dec) => [Math.cos(dec * kDeg) * Math.cos(ra * kDeg), Math.cos(dec * kDeg) * Math.sin(ra * kDeg), Math.sin(dec * kDeg)]
  const a = v(ra1, dec1)
  const b = v(ra2, dec2)
  return 2 * Math.asin(Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]) / 2) / kDeg
}

function compareWhere (body, time, latitude, longitude) {
  const words = ['where', body, '--at', time.date.toISOString(), '--site', `${latitude},${longitude},0`, '--json']
  const run = spawnSync(binary, words, { encoding: 'utf8' })
  if (run.status === 4) return false // too near the Sun by day
  if (run.status !== 0) throw new Error(`${words.join(' ')}: ${run.stderr}`)
  const ours = JSON.parse(run.stdout)
  const observer = new Astronomy.Observer(latitude, longitude, 0)
  const theirs = Astronomy.Equator(body, time, observer, true, true)
  const horizon = Astronomy.Horizon(time, observer, theirs.ra, theirs.dec)
  const light = Astronomy.Illumination(body, time)
  compare('place (deg)', separation(theirs.ra * 15, theirs.dec, ours.ra_deg, ours.dec_deg), 0.008)
  compare('altitude (deg)', horizon.altitude - ours.altitude_deg, 0.012)
  compare('azimuth (deg on the sky)', signed(horizon.azimuth - ours.azimuth_deg) * Math.cos(horizon.altitude * kDeg), 0.012)
  compare('distance (relative)', theirs.dist / ours.distance_au - 1, 3e-4)
  // Theirs is from the Earth's centre; from the ground the Moon's differs by up to its parallax.
  compare(body === 'Moon' ? 'phase of the Moon (deg)' : 'phase (deg)', light.phase_angle - ours.phase_angle_deg, body === 'Moon' ? 1.1 : 0.06)
  if (ours.magnitude !== undefined) compare('magnitude', light.mag - ours.magnitude, 0.25)
  if (body === 'Saturn') compare('tilt of the ring (deg)', Math.abs(light.ring_tilt) - Math.abs(ours.ring.B_deg), 0.03)
  if (body === 'Jupiter') compareMoons(ours, time)
  return true
}

const dot = (a, b) => a.x * b.x + a.y * b.y + a.z * b.z
const cross = (a, b) => ({ x: a.y * b.z - a.z * b.y, y: a.z * b.x - a.x * b.z, z: a.x * b.y - a.y * b.x })
const scaled = (a, k) => ({ x: a.x * k, y: a.y * k, z: a.z * k })

// Where each moon stands beside Jupiter, and how far from its centre in space.
function compareMoons (ours, time) {
  const then = time.AddDays(-ours.distance_au * 499.004784 / 86400)
  const moons = Astronomy.JupiterMoons(then)
  const sight = Astronomy.GeoVector('Jupiter', time, false)
  const u = scaled(sight, 1 / Math.sqrt(dot(sight, sight)))
  const west = cross(u, Astronomy.RotationAxis('Jupiter', then).north)
  const w = scaled(west, 1 / Math.sqrt(dot(west, west)))
  const north = cross(w, u)
  for (const [i, name] of ['io', 'europa', 'ganymede', 'callisto'].entries()) {
    const theirs = Math.hypot(moons[name].x, moons[name].y, moons[name].z) * 149597870.7 / 71492
    const s = ours.satellites[i]
    // Nearer moons look larger; that their light left later is not allowed for here and makes 0.002 radii.
    const radii = ours.distance_au / (ours.distance_au + dot(moons[name], u)) * 149597870.7 / 71492
    compare('moon west (radii)', s.x - dot(moons[name], w) * radii, 0.01)
    compare('moon north (radii)', s.y - dot(moons[name], north) * radii, 0.01)
    compare('Jupiter to moon (radii)', Math.hypot(s.x, s.y, s.z) - theirs, 0.05)
  }
}

function compareRiseAndSet (date, latitude, longitude) {
  const words = ['plan', '--date', date.toISOString().slice(0, 10), '--site', `${latitude},${longitude},0`, '--json']
  const plan = JSON.parse(execFileSync(binary, words, { encoding: 'utf8', maxBuffer: 1 << 26 }))
  const noon = new Date(Date.parse(`${plan.date}T12:00:00Z`) - longitude / 15 * 3600e3)
  const observer = new Astronomy.Observer(latitude, longitude, 0)
  for (const target of plan.targets) {
    for (const [key, direction] of [['rises', +1], ['sets', -1]]) {
      if (target[key] === undefined) continue
      const theirs = Astronomy.SearchRiseSet(target.target, observer, direction, noon, 1.001)
      if (theirs === null) throw new Error(`${words.join(' ')}: ${target.target} ${key}: only halfarc finds it`)
      // Low latitudes only: where bodies rise slantwise, a second of arc is many seconds of time.
      compare('rise and set (min)', (theirs.date - Date.parse(target[key])) / 60e3, 0.25)
    }
  }
}

let asked = 0
for (let i = 0; asked < 320; ++i) {
  const time = Astronomy.MakeTime(new Date(Date.UTC(1970, 0, 1) + Math.floor(random() * 80 * 365.25 * 86400) * 1000))
  const latitude = Math.round((-70 + 140 * random()) * 1e4) / 1e4
  const longitude = Math.round((-180 + 360 * random()) * 1e4) / 1e4
  if (compareWhere(kBodies[i % kBodies.length], time, latitude, longitude)) asked += 1
}
for (let i = 0; i < 12; ++i) {
  const date = new Date(Date.UTC(2000, 0, 1) + Math.floor(random() * 50 * 365.25) * 86400e3)
  compareRiseAndSet(date, Math.round((-50 + 100 * random()) * 100) / 100, Math.round((-180 + 360 * random()) * 100) / 100)
}

let failures = 0
for (const [what, d] of differences) {
  const bad = !(d.worst <= d.bound)
  failures += bad ? 1 : 0
  console.log(`${bad ? 'FAILED ' : '       '}${what.padEnd(26)} n ${String(d.count).padStart(4)}  rms ${Math.sqrt(d.squares / d.count).toPrecision(3)}  worst ${d.worst.toPrecision(3)}  bound ${d.bound}`)
}
process.exit(failures === 0 ? 0 : 1)
