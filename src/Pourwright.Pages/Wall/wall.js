// The wall: the server sends the board whenever it is another; clocks go on by themselves.
const board = document.getElementById('board'), clock = document.getElementById('clock'), broken = document.getElementById('broken');
const offsetMs = Number(clock.dataset.now) - Date.now();
const now = () => Date.now() + offsetMs;
const time = new Intl.DateTimeFormat('en', { hour: '2-digit', minute: '2-digit', hourCycle: 'h23', timeZone: clock.dataset.zone });

const live = new EventSource(board.dataset.path);
live.addEventListener('wall', event => {
  board.innerHTML = event.data;
  board.dataset.live = 'true';
  broken.hidden = true;
  tick();
});
// What stands here may be old: the wall says so instead of looking right.
live.addEventListener('error', () => {
  if (broken.hidden) broken.textContent = `✕ ${broken.dataset.text.replace('{0}', time.format(now()))}`;
  broken.hidden = false;
});

const fill = (text, ...values) => text.replace(/\{(\d)\}/g, (_, at) => values[at]);

function span(ms) {
  const minutes = Math.max(0, Math.floor(ms / 60_000)), { days, hours, minutes: few } = board.dataset;
  return minutes >= 2880 ? fill(days, Math.floor(minutes / 1440), Math.floor(minutes % 1440 / 60))
    : minutes >= 60 ? fill(hours, Math.floor(minutes / 60), minutes % 60) : fill(few, minutes);
}

function tick() {
  clock.textContent = time.format(now());
  for (const left of board.querySelectorAll('[data-until]')) left.textContent = span(left.dataset.until - now());
}

setInterval(tick, 1000);
tick();
