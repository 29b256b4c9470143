// Talking to the server: JSON in, JSON out; what it refuses is thrown as a Refusal.

export class Refusal extends Error {
  constructor(status, answer) {
    super(answer.message || "");
    this.status = status;
    this.faults = answer.faults || [];
  }
}

const FIRST_PAUSE_MS = 400;
const LONGEST_PAUSE_MS = 5000;

// Asks again and again until there is an answer: one that is lost on the way is no refusal. `silent`
// is told of each that is lost; after so many `tries` the last is thrown.
/** @param {() => Promise<any>} run @param {(lost: Error) => void} silent */
export async function steadily(run, silent = (_lost) => {}, tries = Infinity) {
  let pause = FIRST_PAUSE_MS;
  for (let left = tries; ; left -= 1) {
    try {
      return await run();
    } catch (refused) {
      const lost = refused instanceof Refusal && (refused.status === 0 || refused.status >= 500);
      if (!lost || left <= 1) throw refused;
      silent(refused);
    }
    await new Promise((resolve) => setTimeout(resolve, pause));
    pause = Math.min(LONGEST_PAUSE_MS, 2 * pause);
  }
}

export async function ask(path, body) {
  const how = body === undefined ? {} : {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(body),
  };
  let response;
  try {
    response = await fetch(path, how);
  } catch {
    throw new Refusal(0, { message: "The page's own program does not answer. If it has ended, start it again as before; the order is kept in this browser." });
  }
  const answer = await response.json().catch(() => ({}));
  if (!response.ok) throw new Refusal(response.status, answer);
  return answer;
}
