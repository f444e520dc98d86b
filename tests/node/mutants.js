// Runs a sample of the mutants of a stryker report, one at a time: replaces the text, builds the engine, runs its tests until one fails.
// Usage, in tests/Pourwright.Cure.Tests of a tree that may be changed: mutants.js REPORT COUNT SEED NOTES
'use strict';
const { spawnSync } = require('node:child_process');
const { appendFileSync, copyFileSync, existsSync, readFileSync, writeFileSync } = require('node:fs');
const { basename, dirname } = require('node:path');

const [report, count, seed, notes] = process.argv.slice(2);
const bar = 0.85;
const engine = '../../src/Pourwright.Cure';
const assembly = 'bin/Release/net10.0/Pourwright.Cure.dll';
// The longest run of all tests is a minute or two alone, in some 200 MB; what takes this long hangs, what takes this much never ends, and both are seen.
const hangMs = 6 * 60_000;
const env = { ...process.env, DOTNET_GCHeapHardLimit: '0x80000000' };

const run = (...args) => spawnSync('dotnet', args, { timeout: hangMs, killSignal: 'SIGKILL', encoding: 'utf8', env });
const tests = filter => run('test', '--no-build', '-c', 'Release', '--nologo', '-v', 'q', '--filter', filter, '--', 'xUnit.StopOnFail=true');

// xorshift32, so that a seed draws the same sample everywhere.
function draw(list, state) {
  const key = new Map(list.map(item => {
    state ^= state << 13; state ^= state >>> 17; state ^= state << 5;
    return [item, state >>> 0];
  }));
  return [...list].sort((a, b) => key.get(a) - key.get(b));
}

function offset(text, { line, column }) {
  let start = 0;
  for (let passed = 1; passed < line; passed++) start = text.indexOf('\n', start) + 1;
  return start + column - 1;
}

function outcome(mutant) {
  const text = readFileSync(mutant.file, 'utf8');
  const [start, end] = [offset(text, mutant.location.start), offset(text, mutant.location.end)];
  writeFileSync(mutant.file, text.slice(0, start) + mutant.replacement + text.slice(end));
  try {
    // Warnings are no test: a mutant that only the analyzers mind must still be killed.
    if (run('build', engine, '--no-restore', '-c', 'Release', '-v', 'q', '--nologo', '-p:RunAnalyzers=false', '-p:TreatWarningsAsErrors=false').status !== 0) return 'uncompilable';
    copyFileSync(`${engine}/${assembly}`, assembly);
    const folder = basename(dirname(mutant.file));
    const near = folder === 'Pourwright.Cure' ? 'FullyQualifiedName~Readiness' : `FullyQualifiedName~Cure.Tests.${folder}`;
    for (const filter of [near, 'FullyQualifiedName~Cure.Tests']) {
      const done = tests(filter);
      if (done.error?.code === 'ETIMEDOUT') return 'hung';
      if (done.status !== 0) return 'killed';
    }
    return 'lives';
  } finally {
    writeFileSync(mutant.file, text);
  }
}

const mutants = Object.entries(JSON.parse(readFileSync(report, 'utf8')).files).flatMap(([file, { mutants: found }]) => found
  .filter(({ status }) => status !== 'CompileError' && status !== 'Ignored')
  .map(({ id, mutatorName, replacement, location }) => ({ id: Number(id), file, mutator: mutatorName, replacement, location })));
mutants.sort((a, b) => a.file.localeCompare(b.file) || a.id - b.id);
const known = new Map((existsSync(notes) ? readFileSync(notes, 'utf8').trim().split('\n') : []).filter(Boolean).map(JSON.parse).map(note => [note.place, note.outcome]));
if (tests('FullyQualifiedName~Cure.Tests').status !== 0) throw new Error('The tests fail before anything is changed.');

const tally = { killed: 0, hung: 0, lives: 0, uncompilable: 0 };
for (const mutant of draw(mutants, Number(seed))) {
  const judged = tally.killed + tally.hung + tally.lives;
  if (judged === Number(count)) break;
  const { start, end } = mutant.location;
  const place = `${basename(dirname(mutant.file))}/${basename(mutant.file)}:${start.line}:${start.column}-${end.line}:${end.column} ${mutant.mutator} ${mutant.replacement}`;
  if (!known.has(place)) {
    known.set(place, outcome(mutant));
    appendFileSync(notes, JSON.stringify({ place, outcome: known.get(place) }) + '\n');
  }
  tally[known.get(place)]++;
  if (known.get(place) === 'lives') console.log(`lives: ${place}`);
}
const judged = tally.killed + tally.hung + tally.lives;
const share = (tally.killed + tally.hung) / judged;
console.log(`mutants_made ${mutants.length} 1 ok`);
console.log(`mutants_judged ${judged} ${count} ${judged >= count ? 'ok' : 'short'}`);
console.log(`mutants_killed_share_standard_error ${Math.sqrt(share * (1 - share) / judged).toFixed(3)} 0.03 ${Math.sqrt(share * (1 - share) / judged) <= 0.03 ? 'ok' : 'short'}`);
console.log(`mutants_killed_share ${share.toFixed(3)} ${bar} ${share >= bar ? 'ok' : 'short'}`);
