// The other server, on a store of its own in the folder named; it says its port.
const path = require('node:path')
const express = require('express')
const PouchDB = require('pouchdb')

const folder = process.argv[2]
const databases = PouchDB.defaults({ prefix: folder + path.sep })
const serve = require('express-pouchdb')(databases, {
  mode: 'minimumForPouchDB',
  inMemoryConfig: true,
  logPath: path.join(folder, 'log.txt'),
})
const listening = express()
  .use('/', serve)
  .listen(0, '127.0.0.1', () => console.log(listening.address().port))
