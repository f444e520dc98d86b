// Sends what waits, in the order it was done, one at a time: a pour never arrives before its mix. A request id goes with each, so
// an answer that was lost on the way is asked for again and nothing is recorded twice.
import { all, change } from './store.js';
import { saidOf } from './said.js';

const answerWithinMs = 15000;
// A missing sign-in or a busy node holds everything up; what a key may not do is refused like anything else, and the next goes on.
const later = status => status === 401 || status === 408 || status === 429 || status >= 500;

// Answers 'done' when nothing waits any more, 'away' when there is no network, or the status that asks to try again later.
export function replay(path, onChange) {
  const send = () => sendAll(path, onChange);
  // One tab sends at a time. Without locks (a page that came without TLS) ids alone keep it harmless.
  return navigator.locks ? navigator.locks.request('pourwright-replay', send) : send();
}

async function sendAll(path, onChange) {
  for (;;) {
    const entry = (await all()).find(one => one.state === 'waiting');
    if (!entry) return 'done';
    const result = await sendOne(path, entry.id);
    await onChange();
    if (result !== 'done') return result;
  }
}

async function sendOne(path, id) {
  // Counted before it is sent: one that may have arrived is not simply dropped any more.
  const entry = await change(id, one => one.state === 'waiting' ? { ...one, attempts: one.attempts + 1 } : null);
  if (!entry) return 'done';
  let response, answer;
  try {
    response = await fetch(entry.url, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify(entry.body),
      // The API sends nobody elsewhere; a network that wants a sign-in of its own does.
      redirect: 'error',
      signal: AbortSignal.timeout(answerWithinMs),
    });
    answer = await response.json();
  } catch {
    return response && !response.ok && !later(response.status) ? settle(path, entry, response, {}) : 'away';
  }
  if (later(response.status)) return response.status;
  return response.ok && !isRecord(answer) ? 'away' : settle(path, entry, response, answer);
}

// What was recorded comes back with its name. A page that says "welcome" or "back soon" instead is not the studio speaking: whatever
// it says, nothing is known to be recorded.
const isRecord = answer => typeof answer?.name === 'string' && answer.name.startsWith('studios/');

async function settle(path, entry, response, answer) {
  const said = await saidOf(path, answer);
  await change(entry.id, one => response.ok
    ? { ...one, state: 'sent', sentMs: Date.now(), cautions: said }
    : { ...one, state: 'refused', refusal: said[0] ?? { text: `HTTP ${response.status}` } });
  return 'done';
}
