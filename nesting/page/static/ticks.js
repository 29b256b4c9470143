// Which steps are done: kept in the browser, so that a phone that slept goes on where it was.

export class Ticks extends EventTarget {
  constructor(store) {
    super();
    this.store = store;
    try {
      this.done = new Set(JSON.parse(localStorage.getItem(store) ?? "[]"));
    } catch {
      this.done = new Set();
    }
  }

  has(name) { return this.done.has(name); }

  set(name, yes) {
    if (yes) this.done.add(name);
    else this.done.delete(name);
    this.keep();
  }

  clear() {
    this.done.clear();
    this.keep();
  }

  keep() {
    try {
      localStorage.setItem(this.store, JSON.stringify([...this.done]));
    } catch { /* a private window keeps nothing; the ticks stay while the page is open */ }
    this.dispatchEvent(new Event("change"));
  }
}
