// Drives both servers with the same entries from one process, by turns, and says the seconds.
const fs = require('node:fs')
const path = require('node:path')
const PouchDB = require('pouchdb')

const asked = JSON.parse(fs.readFileSync(process.argv[2], 'utf8'))
const texts = fs.readFileSync(asked.texts, 'utf8').trimEnd().split('\n')
const headers = { 'X-Sync': '1', Cookie: asked.ours.cookie, 'Content-Type': 'application/json' }
const PAGE = 10_000

function slices(every, size) {
  const some = []
  for (let at = 0; at < every.length; at += size) some.push(every.slice(at, at + size))
  return some
}

async function timed(work) {
  const began = performance.now()
  await work()
  return (performance.now() - began) / 1000
}

async function answered(response) {
  if (!response.ok) throw new Error(`${response.status} ${await response.text()}`)
  return response
}

// Ours: as the phone app sends and asks, but kept nowhere.
async function pushOurs(some) {
  const { epoch, install, url } = asked.ours
  const body = { epoch, install, app: 'bench', persisted: true, entries: some }
  const sent = { ...body, outbox: { unsent: some.length, n_max: 0 } }
  const options = { method: 'POST', headers, body: JSON.stringify(sent) }
  const { results } = await (await answered(await fetch(`${url}/sync/push`, options))).json()
  const bad = results.filter(({ status }) => status !== 'stored')
  if (bad.length) throw new Error(JSON.stringify(bad[0]))
}

async function pullOurs() {
  const { epoch, url } = asked.ours
  let got = 0
  for (let next = `${epoch}:0`, more = true; more; ) {
    const address = `${url}/sync/pull?after=${next}&limit=${PAGE}`
    const lines = (await (await answered(await fetch(address, { headers }))).text()).split('\n')
    const read = lines.filter(Boolean).map((line) => JSON.parse(line))
    got += read.filter((line) => line.t === 'entry').length
    ;({ next, more } = read.at(-1))
  }
  return got
}

// Theirs: bulk documents by its own client, then its feed of changes, then a replication.
const theirs = new PouchDB(`${asked.theirs.url}/book`)

async function pushTheirs(some) {
  const documents = some.map((text) => {
    const entry = JSON.parse(text)
    return { _id: entry.id, ...entry }
  })
  const bad = (await theirs.bulkDocs(documents)).filter(({ error }) => error)
  if (bad.length) throw new Error(JSON.stringify(bad[0]))
}

async function pullTheirs() {
  let got = 0
  for (let since = 0, some = PAGE; some === PAGE; ) {
    const address = `${asked.theirs.url}/book/_changes?include_docs=true&limit=${PAGE}&since=${since}`
    const read = await (await answered(await fetch(address))).json()
    some = read.results.length
    got += some
    since = read.last_seq
  }
  return got
}

async function replicate() {
  const here = new PouchDB(path.join(asked.folder, 'replica'))
  const { docs_written: got } = await PouchDB.replicate(theirs, here, { batch_size: 2000 })
  await here.close()
  return got
}

async function main() {
  await theirs.info()
  const seconds = { pushOurs: 0, pushTheirs: 0 }
  for (const some of slices(texts, asked.atOnce)) {
    seconds.pushOurs += await timed(() => pushOurs(some))
    seconds.pushTheirs += await timed(() => pushTheirs(some))
  }
  const got = {}
  for (const [name, work] of Object.entries({ pullOurs, pullTheirs, replicate }))
    seconds[name] = await timed(async () => {
      got[name] = await work()
    })
  for (const [name, many] of Object.entries(got))
    if (many !== texts.length) throw new Error(`${name}: ${many} of ${texts.length}`)
  console.log(JSON.stringify(seconds))
}

main().catch((error) => {
  console.error(error)
  process.exit(1)
})
