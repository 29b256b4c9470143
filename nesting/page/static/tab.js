// Which tab asks: a new plan takes the place of one that this tab asked for before and left.

export function pageId() {
  try {
    const id = sessionStorage.getItem("metrage-page") ?? `${Date.now()}-${Math.random()}`;
    sessionStorage.setItem("metrage-page", id);
    return id;
  } catch {
    return ""; // the browser keeps nothing
  }
}
