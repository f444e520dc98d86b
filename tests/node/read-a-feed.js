// Reads a calendar feed with a parser of another language and makes instants of its local times by nothing but the
// VTIMEZONEs inside it. Usage: node read-a-feed.js URL|FILE. Prints one JSON object.
const { readFileSync } = require('fs');
const load = () => import('ical.js').then(module => module.default);

const read = async source => /^https?:/.test(source) ? (await fetch(source)).text() : readFileSync(source, 'utf8');

function instant(ICAL, property) {
  const time = property.getFirstValue();
  if (time.zone === ICAL.Timezone.localTimezone) throw new Error(`${property.toICALString()} has no zone.`);
  return time.toUnixTime() * 1000;
}

async function main() {
  const ICAL = await load();
  const calendar = new ICAL.Component(ICAL.parse(await read(process.argv[2])));
  return JSON.stringify({
    method: calendar.getFirstPropertyValue('method'),
    name: calendar.getFirstPropertyValue('name'),
    zones: calendar.getAllSubcomponents('vtimezone').map(zone => zone.getFirstPropertyValue('tzid')),
    events: calendar.getAllSubcomponents('vevent').map(event => ({
      uid: event.getFirstPropertyValue('uid'),
      sequence: event.getFirstPropertyValue('sequence'),
      status: event.getFirstPropertyValue('status'),
      summary: event.getFirstPropertyValue('summary'),
      location: event.getFirstPropertyValue('location'),
      description: event.getFirstPropertyValue('description'),
      zone: event.getFirstPropertyValue('dtstart').zone.tzid,
      startMs: instant(ICAL, event.getFirstProperty('dtstart')),
      endMs: instant(ICAL, event.getFirstProperty('dtend')),
      attendees: event.getAllProperties('attendee').length,
    })),
  });
}

// Written out before the end: a pipe takes 64 kB at a time.
main().then(json => process.stdout.write(json, () => process.exit(0)), error => { console.error(error); process.exit(1); });
