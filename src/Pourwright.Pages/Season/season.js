// Drags a session to another day and opens the class with that move tried; nothing is said to anybody by that. Without a pointer
// the session is a link to the same page, where the day is typed.
const season = document.querySelector('.season');
const first = new Date(`${season.dataset.first}T00:00:00Z`), days = Number(season.dataset.days);

const iso = day => new Date(first.getTime() + day * 86_400_000).toISOString().slice(0, 10);

for (const session of season.querySelectorAll('.session')) {
  let from = null, day = Number(session.dataset.day);
  session.addEventListener('pointerdown', event => { from = event.clientX; session.setPointerCapture(event.pointerId); });
  session.addEventListener('pointermove', event => {
    if (from === null) return;
    const width = season.getBoundingClientRect().width / days;
    day = Math.min(days - 1, Math.max(0, Number(session.dataset.day) + Math.round((event.clientX - from) / width)));
    session.style.gridColumn = day + 1;
    session.dataset.shown = iso(day).slice(5);
    session.classList.toggle('moving', day !== Number(session.dataset.day));
  });
  session.addEventListener('pointerup', () => { from = null; });
  session.addEventListener('click', event => {
    if (day === Number(session.dataset.day)) return;
    event.preventDefault();
    const to = new URL(session.href);
    to.searchParams.set('date', iso(day));
    location.href = to;
  });
}
