// Talking to the server: JSON in, JSON out; what it refuses is thrown as a Refusal.

export class Refusal extends Error {
  constructor(status, answer) {
    super(answer.message || "");
    this.status = status;
    this.faults = answer.faults || [];
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
    throw new Refusal(0, { message: "The page's own program does not answer. Start metrage page again." });
  }
  const answer = await response.json().catch(() => ({}));
  if (!response.ok) throw new Refusal(response.status, answer);
  return answer;
}
