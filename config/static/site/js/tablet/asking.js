/* Questions to the server that only its JSON answers. A log-in page sent with 200, or
   a redirect to one, is no answer and must never count as stored. */
export async function ask(url, options = {}) {
  const wait = AbortSignal.timeout(options.body instanceof FormData ? 120_000 : 30_000);
  const fixed = { redirect: "manual", cache: "no-cache", signal: wait };
  try {
    const answer = await fetch(url, { ...options, ...fixed });
    const type = answer.headers.get("content-type") ?? "";
    if (answer.redirected || !type.startsWith("application/json")) return { status: 0 };
    return { status: answer.status, body: await answer.json() };
  } catch {
    return { status: 0 };
  }
}
