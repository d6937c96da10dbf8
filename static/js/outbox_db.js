// Where what waits is kept: the phone's own database, which a restart and a log-out leave alone.
const NAME = "outbox";
const STORE = "acts";
const channel = new BroadcastChannel(NAME);
let opening;

function opened() {
  opening ??= new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, 1);
    request.onupgradeneeded = () => {
      request.result.createObjectStore(STORE, { keyPath: "seq", autoIncrement: true }).createIndex("id", "id", { unique: true });
    };
    request.onsuccess = () => {
      request.result.onversionchange = () => request.result.close();
      request.result.onclose = () => (opening = undefined);
      resolve(request.result);
    };
    request.onerror = () => {
      opening = undefined;
      reject(request.error);
    };
  });
  return opening;
}

// Runs one transaction to its end: what it wrote is on the phone's disk, or nothing of it is.
async function within(mode, work) {
  const database = await opened();
  return new Promise((resolve, reject) => {
    const transaction = database.transaction(STORE, mode, { durability: "strict" });
    const request = work(transaction.objectStore(STORE));
    transaction.oncomplete = () => resolve(request?.result);
    transaction.onabort = () => reject(transaction.error);
  });
}

// How many there are stands beside it, for pages that load nothing of the queue while it is empty.
async function changed() {
  localStorage.setItem("waits", String((await all()).length));
  channel.postMessage("");
  document.dispatchEvent(new Event("outbox"));
}

channel.onmessage = () => document.dispatchEvent(new Event("outbox"));

export const all = () => within("readonly", (store) => store.getAll());

// All of them or none. A number that is there already is the same thing, pressed twice.
export async function add(records) {
  await within("readwrite", (store) => {
    for (const record of records) {
      store.add(record);
    }
  }).catch((error) => {
    if (error?.name !== "ConstraintError") {
      throw error;
    }
  });
  await changed();
}

// Writes one anew, unless it was taken out meanwhile.
export async function put(record) {
  await within("readwrite", (store) => {
    store.getKey(record.seq).onsuccess = ({ target }) => target.result && store.put(record);
  });
  await changed();
}

export async function remove(ids) {
  await within("readwrite", (store) => {
    for (const id of ids) {
      store.index("id").getKey(id).onsuccess = ({ target }) => target.result && store.delete(target.result);
    }
  });
  await changed();
}
