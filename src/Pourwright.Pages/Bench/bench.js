// The bench. Everything done here goes into the log of the tablet first (store.js) and from there to the API (replay.js); the page
// shows the last picture of the site with what still waits laid over it, so it works the same with and without the network.
import { add, all, change, keepPicture, lastPicture, remove } from './store.js';
import { replay } from './replay.js';
import { saidOf } from './said.js';
import { judge, split } from './ratio.js';
import { button, element, uuid, shortId } from './make.js';

const page = document.getElementById('bench');
const words = JSON.parse(document.getElementById('words').textContent);
const say = (key, ...values) => words[`Bench.${key}`].replace(/\{(\d)\}/g, (_, at) => values[at]);
const { path, massUnit, lengthUnit, comma, zone } = page.dataset;
const mgPerUnit = Number(page.dataset.mgPerUnit), mmPerUnit = Number(page.dataset.mmPerUnit);
const undoWithinMs = 60_000, retryMs = 3_000, lookMs = 20_000;

const chosen = { system: null, A: null, B: null, Pigment: null, ...JSON.parse(localStorage.getItem(`chosen ${path}`) ?? '{}') };
const open = { batch: null, piece: null, mass: null, depth: null };
let picture = null, entries = [], line = 'away', clockOffsetMs = 0, reason = '', serverWord = null;

const $ = id => document.getElementById(id);
const now = () => Date.now() + clockOffsetMs;
const idOf = name => name.split('/').at(-1);
const number = (value, digits) => value.toFixed(digits).replace('.', comma);
const read = text => Number(text.trim().replace(',', '.'));
const digits = mgPerUnit === 1000 ? 0 : 2;
const mass = mg => `${number(mg / mgPerUnit, digits)} ${massUnit}`;
const clock = ms => new Intl.DateTimeFormat(document.documentElement.lang, { weekday: 'short', hour: '2-digit', minute: '2-digit', hourCycle: 'h23', timeZone: zone }).format(ms);
const keep = () => localStorage.setItem(`chosen ${path}`, JSON.stringify(chosen));

// ---- What is known, with what waits laid over it

const standing = kind => entries.filter(entry => entry.kind === kind && (entry.state === 'waiting' || (entry.state === 'sent' && entry.sentMs > (picture?.takenMs ?? 0))));
const undone = subject => standing('undo').some(entry => entry.subject === subject);
const system = () => picture?.systems.find(one => one.name === chosen.system) ?? null;
const can = part => picture?.cans.find(one => one.name === chosen[part]) ?? null;

function batches() {
  const known = picture.batches.filter(batch => !undone(batch.name));
  const fresh = standing('mix').filter(entry => !known.some(batch => batch.name === entry.subject) && !undone(entry.subject));
  return [...fresh.map(entry => entry.made).reverse(), ...known].map(batch => ({ ...batch, leftMg: batch.leftMg - pouredSince(batch.name) })).filter(batch => batch.leftMg > 0);
}

const pouredSince = batch => standing('pour').filter(entry => entry.batch === batch && !undone(entry.subject)).reduce((sum, entry) => sum + entry.massMg, 0);

const leftIn = one => one.leftMg - standing('mix').filter(entry => !undone(entry.subject))
  .flatMap(entry => entry.body.draws).filter(draw => draw.container === one.name).reduce((sum, draw) => sum + Number(draw.massMg), 0);

// ---- The mix

const massOf = part => Math.round((read($(`part-${part}`).querySelector('.mass').value) || 0) * mgPerUnit);
const setMass = (part, mg) => { $(`part-${part}`).querySelector('.mass').value = number(mg / mgPerUnit, digits); };

function cans(part) {
  return picture.cans.filter(one => one.part === part && (part === 'Pigment' || one.system === chosen.system));
}

function showMix() {
  if (!system()) chosen.system = picture.systems.find(one => picture.cans.some(c => c.system === one.name))?.name ?? picture.systems[0]?.name ?? null;
  fill('systems', picture.systems.map(one => button(one.title, () => { chosen.system = one.name; keep(); showMix(); }, { pressed: one.name === chosen.system })));
  for (const part of ['A', 'B']) if (!cans(part).some(one => one.name === chosen[part])) chosen[part] = cans(part).find(one => !trouble(one))?.name ?? null;
  for (const part of ['A', 'B', 'Pigment']) showCans(part);
  fill('sizes', sizes().map(mg => button(mass(mg), () => size(mg))));
  showVerdict();
}

function showCans(part) {
  const choices = cans(part).map(one => button('', () => { chosen[part] = chosen[part] === one.name && part === 'Pigment' ? null : one.name; keep(); showMix(); },
    { pressed: one.name === chosen[part] }, element('b', idOf(one.name)), element('span', mass(leftIn(one))), trouble(one) ? element('span', `✕ ${trouble(one)}`, 'bad') : null));
  fill($(`part-${part}`).querySelector('.cans'), choices.length ? choices : [element('p', say('NoCan'))]);
  $(`part-${part}`).hidden = part === 'Pigment' && choices.length === 0;
}

const trouble = one => one.hold ? say('Held') : one.expireMs && one.expireMs <= now() ? say('Expired') : leftIn(one) <= 0 ? say('Empty') : '';

// What was mixed here lately comes first: a class mixes the same batch again and again.
function sizes() {
  const lately = [...standing('mix').map(entry => entry.made), ...picture.batches].filter(batch => batch.system === chosen.system).map(batch => batch.totalMg);
  const usual = [500_000, 1_000_000, 1_500_000, 2_000_000].filter(mg => mg <= (system()?.maxBatchMg ?? Infinity));
  return [...new Set([...lately, ...usual])].slice(0, 5);
}

function size(mg) {
  const { aMg, bMg } = split(system(), mg);
  setMass('A', aMg);
  setMass('B', bMg);
  showVerdict();
}

function showVerdict() {
  const judged = system() ? judge(system(), massOf('A'), massOf('B')) : { known: false };
  const target = $('part-B').querySelector('.target');
  target.hidden = !(judged.targetBMg > 0);
  target.textContent = say('Target', mass(judged.targetBMg ?? 0));
  const missing = !chosen.system || !chosen.A || !chosen.B ? say('ChooseCans') : !judged.known ? say('Weigh') : '';
  const short = ['A', 'B', 'Pigment'].map(can).filter(Boolean).map(one => trouble(one) ? `${idOf(one.name)}: ${trouble(one)}` : massOf(one.part) > leftIn(one) ? say('Short', idOf(one.name), mass(leftIn(one))) : '').find(Boolean);
  const off = judged.known && !judged.inRatio;
  tell('verdict', missing || (short ? `✕ ${short}` : off
    ? `✕ ${say('Off', number(judged.parts, 1), signed(judged.deviationPercent), number(system().tolerancePercent, 1))} ${say('Add', mass(judged.addMg), judged.addPart)}`
    : `✓ ${say('InRatio', number(judged.parts, 1), signed(judged.deviationPercent), number(system().tolerancePercent, 1))}`), `verdict ${missing ? '' : short || off ? 'bad' : 'good'}`);
  $('why').hidden = !(off && !missing);
  fill('why', ['WhyPoured', 'WhyScale', 'WhyWanted'].map(key => button(say(key), () => { reason = reason === say(key) ? '' : say(key); showVerdict(); }, { pressed: reason === say(key) })));
  if (!off) reason = '';
  const who = $('who').value.trim();
  $('log').disabled = Boolean(missing) || (off && !reason) || !who;
  $('log').textContent = !who ? say('SayWho') : off && !missing ? (reason ? say('LogOff') : say('OffNeedsWhy')) : say('Log');
  if (missing) tell('server-verdict', ''); else askServer();
}

const signed = value => `${value < 0 ? '−' : '+'}${number(Math.abs(value), 1)}`;

function mixBody() {
  return {
    site: picture.site, resinSystem: chosen.system, mixer: $('who').value.trim(), mixTime: new Date(now()).toISOString(), deviationReason: reason,
    draws: ['A', 'B', 'Pigment'].filter(part => chosen[part] && massOf(part) > 0).map(part => ({ container: chosen[part], massMg: String(massOf(part)) })),
  };
}

// The server's own word comes as soon as the network has it; holds, limits and lots are known there better than here.
let asking = 0;
async function askServer() {
  const mine = ++asking;
  try {
    const response = await fetch(`/v1/${picture.studio}/mixes?validateOnly=true`, { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify({ ...mixBody(), mixer: $('who').value.trim() || 'nobody' }) });
    const answer = await response.json();
    if (mine !== asking) return;
    const said = await saidOf(path, answer);
    if (mine !== asking) return;
    tell('server-verdict', said.map(one => `${response.ok ? '!' : '✕'} ${one.text}`).join(' '));
    $('server-verdict').lang = said[0]?.language ?? '';
  } catch { tell('server-verdict', ''); }
}

async function logMix() {
  const id = `m-${shortId()}`, body = mixBody(), totalMg = body.draws.reduce((sum, draw) => sum + Number(draw.massMg), 0);
  const name = `${picture.studio}/mixes/${id}`;
  await record({
    kind: 'mix', subject: name, url: `/v1/${picture.studio}/mixes?mixId=${id}`, body, text: say('DidMix', id, mass(totalMg)),
    made: { name, system: chosen.system, mixMs: now(), mixer: body.mixer, totalMg, leftMg: totalMg, potLifeEndMs: null },
  });
  for (const part of ['A', 'B', 'Pigment']) setMass(part, 0);
  Object.assign(open, { batch: name, piece: null, mass: null });
  reason = '';
  await refresh();
}

// ---- Pours

function showBatches() {
  const pieces = picture.pieces.filter(piece => piece.canPour);
  fill('batches', batches().map(batch => element('article', null, 'batch',
    element('h3', `${idOf(batch.name)} · ${say('Left', mass(batch.leftMg))}`),
    element('p', null, 'pot', potLife(batch)),
    ...open.batch === batch.name ? pourForm(batch, pieces) : [button(say('PourFrom'), () => { Object.assign(open, { batch: batch.name, piece: null, mass: null }); show(); }, {}, element('span', ` ${idOf(batch.name)}`, 'unseen'))])));
  if (!$('batches').children.length) fill('batches', [element('p', say('NoBatch'))]);
}

function potLife(batch) {
  const endMs = batch.potLifeEndMs ?? endOfPotLife(batch);
  const clockFace = element('time', '', 'potclock');
  clockFace.dataset.since = batch.mixMs;
  if (endMs) clockFace.dataset.until = endMs;
  return clockFace;
}

// A batch that waits has no end of pot life from the server yet: another of its resin tells how long it is.
function endOfPotLife(batch) {
  const like = picture.batches.find(other => other.system === batch.system && other.potLifeEndMs);
  return like ? batch.mixMs + like.potLifeEndMs - like.mixMs : null;
}

function pourForm(batch, pieces) {
  open.depth ??= Number(localStorage.getItem('depthMm') ?? 40);
  const massField = field('pour-mass', say('PourMass'), massUnit, number((open.mass ?? batch.leftMg) / mgPerUnit, digits), value => { open.mass = Math.round(value * mgPerUnit); });
  const depthField = field('pour-depth', say('PourDepth'), lengthUnit, number(open.depth / mmPerUnit, mmPerUnit === 1 ? 0 : 2), value => { open.depth = value * mmPerUnit; });
  const bench = picture.benches.find(one => one.name === chosen.bench) ?? picture.benches[0];
  return [
    element('div', null, 'choices', ...pieces.map(piece => button('', () => { open.piece = piece.name; showBatches(); }, { pressed: open.piece === piece.name },
      element('b', piece.label), element('span', piece.maker), pouredInto(piece) ? element('span', `✓ ${say('Poured')}`) : null))),
    element('div', null, 'choices', ...picture.benches.length < 2 ? [] : picture.benches.map(one => button(one.title, () => { chosen.bench = one.name; keep(); showBatches(); }, { pressed: one === bench }))),
    element('div', null, 'fields', massField, depthField),
    Object.assign(button(open.piece ? say('Pour', pieces.find(piece => piece.name === open.piece)?.label ?? '') : say('ChoosePiece'), () => logPour(batch, bench), { className: 'big' }),
      { disabled: !open.piece || !bench || !$('who').value.trim() }),
  ];
}

const pouredInto = piece => piece.gate !== '' || standing('pour').some(entry => entry.piece === piece.name && !undone(entry.subject));

function field(id, label, unit, value, changed) {
  const input = element('input');
  Object.assign(input, { id, value, inputMode: 'decimal', autocomplete: 'off' });
  input.addEventListener('input', () => { const typed = read(input.value); if (typed > 0) changed(typed); });
  return element('label', `${label} `, null, input, element('span', ` ${unit}`));
}

async function logPour(batch, bench) {
  const massMg = Math.min(open.mass ?? batch.leftMg, batch.leftMg), piece = picture.pieces.find(one => one.name === open.piece);
  const id = `p-${shortId()}`;
  localStorage.setItem('depthMm', open.depth);
  await record({
    kind: 'pour', subject: `${piece.name}/pours/${id}`, batch: batch.name, piece: piece.name, massMg,
    url: `/v1/${piece.name}/pours?pourId=${id}`, text: say('DidPour', mass(massMg), piece.label, idOf(batch.name)),
    body: { mix: batch.name, bench: bench.name, massMg: String(massMg), depthMm: Math.round(open.depth * 10) / 10, pourTime: new Date(now()).toISOString(), pourer: $('who').value.trim() },
  });
  open.piece = null;
  open.mass = batch.leftMg - massMg > 0 ? Math.min(massMg, batch.leftMg - massMg) : null;
  await refresh();
}

// ---- Touch checks

const touches = [['TACKY', '≈'], ['SOFT', '◡'], ['FIRM', '■']];
const rank = piece => ['Contradicted', 'CheckDue', 'Curing', ''].indexOf(piece.gateState);

function showTouches() {
  const pieces = picture.pieces.filter(piece => piece.canTouch && piece.gate).sort((a, b) => rank(a) - rank(b) || (a.safeMs ?? Infinity) - (b.safeMs ?? Infinity));
  fill('touches', pieces.length ? pieces.map(piece => element('article', null, 'touch',
    element('h3', `${piece.label} ${piece.maker}`),
    element('p', `${say(`Gate${piece.gate}`)}: ${say(`State${piece.gateState}`, piece.safeMs ? clock(piece.safeMs) : '–')}${felt(piece)}`),
    element('div', null, 'three', ...touches.map(([touch, sign]) => button(`${sign} ${say(`Touch${touch}`)}`, () => logTouch(piece, touch), { className: `feel ${touch.toLowerCase()}` }, element('span', ` ${piece.label}`, 'unseen')))))) : [element('p', say('NoTouch'))]);
}

function felt(piece) {
  const last = entries.filter(entry => entry.kind === 'touch' && entry.piece === piece.name && entry.state !== 'refused').at(-1);
  return last ? ` · ${say(`Touch${last.touch}`)} ${clock(last.madeMs)}` : '';
}

async function logTouch(piece, touch) {
  const who = $('who').value.trim();
  if (!who) { $('ask-who').hidden = false; $('who').focus(); return; }
  await record({
    kind: 'touch', subject: piece.name, piece: piece.name, touch, url: `/v1/${piece.name}/checks?checkId=c-${shortId()}`, text: say('DidTouch', piece.label, say(`Touch${touch}`)),
    body: { checkTime: new Date(now()).toISOString(), checker: who, touch: `TOUCH_${touch}` },
  });
}

// ---- The log

async function record(entry) {
  const requestId = uuid();
  const url = entry.url.includes('?') ? `${entry.url}&requestId=${requestId}` : entry.url;
  await add({ ...entry, url, state: 'waiting', attempts: 0, madeMs: now() });
  localStorage.setItem('who', $('who').value.trim());
  await refresh();
  sendSoon();
}

// What was never tried is dropped; what may have arrived is corrected, and the record of it stays.
async function undo(entry) {
  const dropped = await change(entry.id, one => one.state === 'waiting' && one.attempts === 0 ? { ...one, state: 'undone' } : null);
  if (dropped) { await refresh(); return; }
  await record({
    kind: 'undo', subject: entry.subject, url: `/v1/${entry.subject}:correct`, text: say('DidUndo', entry.text),
    body: { kind: 'KIND_DID_NOT_OCCUR', person: $('who').value.trim(), reason: say('UndoReason'), requestId: uuid() },
  });
}

const mayUndo = entry => (entry.kind === 'mix' || entry.kind === 'pour') && (entry.state === 'waiting' || entry.state === 'sent')
  && now() - entry.madeMs < undoWithinMs && !entries.some(other => other.kind === 'undo' && other.subject === entry.subject)
  && !entries.some(other => other.kind === 'pour' && other.batch === entry.subject && !['refused', 'undone'].includes(other.state) && !entries.some(third => third.kind === 'undo' && third.subject === other.subject));

async function again(entry, changes) {
  const url = entry.url.replace(/requestId=[^&]*/, `requestId=${uuid()}`);
  await change(entry.id, one => ({ ...one, url, body: { ...one.body, ...changes }, state: 'waiting', attempts: 0, refusal: null }));
  await refresh();
  sendSoon();
}

const signs = { waiting: '…', sent: '✓', refused: '✕', undone: '↶' };

function showEntries() {
  fill('entries', entries.slice(-30).reverse().map(entry => {
    const row = element('article', null, `entry ${entry.state}`,
      element('p', `${signs[entry.state]} ${say(`Is${entry.state}`)}: ${entry.text} · ${clock(entry.madeMs)}`),
      ...(entry.cautions ?? []).map(said => spoken(said, '! ')));
    if (mayUndo(entry)) {
      const back = button(say('Undo', ''), () => undo(entry), { className: 'undo' });
      back.dataset.until = entry.madeMs + undoWithinMs;
      row.append(back);
    }
    if (entry.state === 'refused') row.append(spoken(entry.refusal, '', 'bad'), button(say('Again'), () => again(entry, {})),
      ...entry.kind === 'mix' || entry.kind === 'pour' ? ['WhyPoured', 'WhyWanted'].map(key => button(`${say('AgainBecause')} ${say(key)}`, () => again(entry, { deviationReason: say(key) }))) : [],
      button(say('Drop'), async () => { await remove(entry.id); await refresh(); }));
    return row;
  }));
}

// What the API said, as the page says it; a tablet may still keep what an earlier release wrote: a text alone.
function spoken(said, sign, className) {
  const shown = element('p', `${sign}${said.text ?? said}`, className);
  shown.lang = said.text ? said.language ?? '' : 'en';
  return shown;
}

// ---- Line, clocks, rounds

function showLine() {
  const waiting = entries.filter(entry => entry.state === 'waiting').length, refused = entries.filter(entry => entry.state === 'refused').length;
  const state = line === 'done' ? say('Online') : line === 'away' ? say('Offline') : say('LineError', line);
  tell('line', `${line === 'done' ? '●' : '○'} ${state} · ${waiting ? say('Waiting', waiting) : say('NothingWaits')}${refused ? ` · ${say('Refused', refused)}` : ''}`, `line ${line === 'done' ? 'good' : 'bad'}`);
  page.dataset.waiting = waiting;
  page.dataset.refused = refused;
  page.dataset.line = line;
}

function tick() {
  for (const face of document.querySelectorAll('.potclock')) {
    const since = minutes(now() - face.dataset.since), left = face.dataset.until ? face.dataset.until - now() : null;
    face.textContent = left === null ? say('PotSince', since) : left > 0 ? say('PotLeft', minutes(left), since) : `! ${say('PotOver', minutes(-left))}`;
    face.classList.toggle('bad', left !== null && left <= 10 * 60_000);
  }
  for (const back of document.querySelectorAll('.undo')) {
    const left = Math.ceil((back.dataset.until - now()) / 1000);
    if (left > 0) back.textContent = say('Undo', left); else back.remove();
  }
}

const minutes = ms => { const whole = Math.max(0, Math.floor(ms / 60_000)); return whole >= 60 ? `${Math.floor(whole / 60)} h ${String(whole % 60).padStart(2, '0')} min` : `${whole} min`; };

// Puts children into a box; the keyboard stays where it was.
function fill(where, children) {
  const box = typeof where === 'string' ? $(where) : where, fields = () => [...box.querySelectorAll('button, input')];
  const at = fields().indexOf(document.activeElement);
  box.replaceChildren(...children);
  fields()[at]?.focus({ preventScroll: true });
}

// Says it once: what stands there already is not read out again.
function tell(id, text, className) {
  if ($(id).textContent !== text) $(id).textContent = text;
  if (className !== undefined) $(id).className = className;
}

function show() {
  showLine();
  showEntries();
  if (!picture) return;
  showMix();
  showBatches();
  showTouches();
  tick();
}

// Reads the log anew and shows it; what is being typed into stays as it is.
async function refresh() {
  entries = await all();
  if (!document.activeElement?.matches('#batches input')) { show(); return; }
  showLine();
  showEntries();
}

async function look() {
  try {
    const response = await fetch(`${path}/picture`, { signal: AbortSignal.timeout(15000) });
    if (!response.ok) { line = response.status; return; }
    const fresh = await response.json();
    picture = { ...fresh, takenMs: Date.now() };
    clockOffsetMs = fresh.nowMs - Date.now();
    if (line === 'away') line = 'done';
    await keepPicture(path, { ...picture, clockOffsetMs });
    fill('people', picture.people.map(person => Object.assign(element('option'), { value: person })));
  } catch { line = 'away'; }
}

let sending = false;
async function sendSoon() {
  if (sending) return;
  sending = true;
  try {
    const started = entries.some(entry => entry.state === 'waiting');
    if (started) {
      // Taken before what is sent now: it is laid over the picture until a newer one knows it.
      line = await replay(path, refresh);
    }
    await look();
  } finally { sending = false; }
  await refresh();
}

async function start() {
  $('who').value = localStorage.getItem('who') ?? '';
  const last = await lastPicture(path);
  if (last) { picture = last; clockOffsetMs = last.clockOffsetMs ?? 0; }
  await refresh();
  await sendSoon();
  page.dataset.ready = 'true';
}

for (const part of ['A', 'B', 'Pigment']) {
  const box = $(`part-${part}`);
  box.querySelector('.mass').addEventListener('input', showVerdict);
  box.querySelector('.mass').addEventListener('focus', event => event.target.select());
  for (const step of box.querySelectorAll('[data-step]')) step.addEventListener('click', () => { setMass(part, Math.max(0, massOf(part) + Number(step.dataset.step) * mgPerUnit)); showVerdict(); });
}
$('part-B').querySelector('.target').addEventListener('click', () => { setMass('B', judge(system(), massOf('A'), 0).targetBMg); showVerdict(); });
$('who').addEventListener('input', () => { $('ask-who').hidden = true; if (picture) { showVerdict(); showBatches(); } });
$('log').addEventListener('click', logMix);
$('scan-form').addEventListener('submit', event => {
  event.preventDefault();
  const code = $('scan').value.trim().split(/[/#?]/).findLast(part => part && !part.startsWith('contents')) ?? '';
  const found = picture?.cans.find(one => idOf(one.name) === code.toLowerCase());
  $('scan').value = '';
  if (!found) { tell('verdict', `✕ ${say('UnknownCode', code)}`, 'verdict bad'); return; }
  if (found.system) chosen.system = found.system;
  chosen[found.part] = found.name;
  keep();
  showMix();
});
addEventListener('online', sendSoon);
addEventListener('offline', () => { line = 'away'; showLine(); });
document.addEventListener('visibilitychange', () => { if (!document.hidden) sendSoon(); });
setInterval(tick, 1000);
setInterval(() => { if (entries.some(entry => entry.state === 'waiting') || line !== 'done') sendSoon(); }, retryMs);
setInterval(() => { if (!document.hidden) sendSoon(); }, lookMs);

// The worker answers for pages that are opened from now on; this one came before it, so it is kept by hand.
async function keepPage() {
  await navigator.serviceWorker.register('/service-worker.js');
  await navigator.serviceWorker.ready;
  const parts = performance.getEntriesByType('resource').map(part => new URL(part.name).pathname).filter(name => name.startsWith('/assets/'));
  await (await caches.open(page.dataset.cache)).addAll([...new Set([location.pathname, ...parts])]);
  page.dataset.kept = 'true';
}

start();
if (navigator.serviceWorker) keepPage().catch(() => {});
