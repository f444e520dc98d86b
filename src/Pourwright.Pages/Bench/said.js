// What the API answered, in the words of the page: cautions of what was done, or why it was refused. Each is { text, language };
// language is null where it is the page's own. The page's server has the words; without it they stay English.
export async function saidOf(path, answer) {
  const plain = answer.message ? [answer.message] : (answer.cautions ?? []).map(caution => caution.text);
  if (plain.length === 0) return [];
  try {
    const response = await fetch(`${path}/said`, {
      method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify(answer), signal: AbortSignal.timeout(5000),
    });
    if (response.ok) return await response.json();
  } catch { /* It is said in English then. */ }
  return plain.map(text => ({ text, language: 'en' }));
}
