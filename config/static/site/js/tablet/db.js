/* What this tablet keeps: three stores of rows, each under its `key`. A draft that
   waits to be sent stays among the drafts; its state says so. */
let opened;

function database() {
  opened ??= new Promise((resolve, reject) => {
    const request = indexedDB.open("tablet", 1);
    request.onupgradeneeded = () => {
      for (const store of ["register", "drafts", "photos"]) {
        request.result.createObjectStore(store, { keyPath: "key" });
      }
    };
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
  return opened;
}

async function ask(store, mode, question) {
  // Strict: what a fitter typed must survive a flat battery.
  const transaction = (await database()).transaction(store, mode, { durability: "strict" });
  const request = question(transaction.objectStore(store));
  return new Promise((resolve, reject) => {
    transaction.oncomplete = () => resolve(request.result);
    transaction.onabort = () => reject(transaction.error);
  });
}

export const put = (store, row) => ask(store, "readwrite", (rows) => rows.put(row));
export const get = (store, key) => ask(store, "readonly", (rows) => rows.get(key));
export const all = (store) => ask(store, "readonly", (rows) => rows.getAll());
export const drop = (store, key) => ask(store, "readwrite", (rows) => rows.delete(key));
