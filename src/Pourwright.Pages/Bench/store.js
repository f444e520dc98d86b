// The tablet's own memory: what was done here and is not lost with the network or the power, and the last picture of a site.
// An entry is { id, kind, text, subject, url, body, state, attempts, madeMs, ... }; its state is one of
// waiting, sent, refused, undone.
const opening = new Promise((resolve, reject) => {
  const request = indexedDB.open('pourwright-bench', 1);
  request.onupgradeneeded = () => {
    request.result.createObjectStore('entries', { keyPath: 'id', autoIncrement: true });
    request.result.createObjectStore('pictures');
  };
  request.onsuccess = () => resolve(request.result);
  request.onerror = () => reject(request.error);
});

async function run(store, mode, work) {
  const db = await opening;
  return new Promise((resolve, reject) => {
    // Strict: what a person was told is kept has reached the disk.
    const transaction = db.transaction(store, mode, { durability: 'strict' });
    let answer;
    work(transaction.objectStore(store), value => { answer = value; });
    transaction.oncomplete = () => resolve(answer);
    transaction.onerror = transaction.onabort = () => reject(transaction.error);
  });
}

export const add = entry => run('entries', 'readwrite', (entries, done) => {
  entries.add(entry).onsuccess = event => done(event.target.result);
});

export const all = () => run('entries', 'readonly', (entries, done) => {
  entries.getAll().onsuccess = event => done(event.target.result);
});

// Changes one entry in one transaction; change returns the new entry, or null to leave it. Answers the new one, or null.
export const change = (id, how) => run('entries', 'readwrite', (entries, done) => {
  entries.get(id).onsuccess = event => {
    const next = event.target.result ? how(event.target.result) : null;
    if (next) entries.put(next);
    done(next);
  };
});

export const remove = id => run('entries', 'readwrite', entries => { entries.delete(id); });

export const keepPicture = (path, picture) => run('pictures', 'readwrite', pictures => { pictures.put(picture, path); });

export const lastPicture = path => run('pictures', 'readonly', (pictures, done) => {
  pictures.get(path).onsuccess = event => done(event.target.result ?? null);
});
