// Where the page's own parts come from: from inside it where it is a single file, otherwise from
// beside it on its host. Nothing else is ever fetched.

/** The bytes of a part. */
export async function bytes(name) {
  const inside = document.getElementById(`part-${name}`);
  if (inside) return decode(inside.textContent);
  const response = await fetch(name);
  if (!response.ok) throw new Error(`a part of the page is missing (${name})`);
  return new Uint8Array(await response.arrayBuffer());
}

/** A part that was packed with gzip, unpacked. */
export async function unpacked(name) {
  const packed = await bytes(name);
  if (packed[0] !== 0x1f || packed[1] !== 0x8b) return packed.buffer; // the host unpacked it
  const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"));
  return new Response(stream).arrayBuffer();
}

/** An address under which a part can be started as a worker. */
export async function workerAddress(name) {
  if (!document.getElementById(`part-${name}`)) return name;
  return URL.createObjectURL(new Blob([await bytes(name)], { type: "text/javascript" }));
}

/** An address under which a part can be added to an audio worklet; a page opened from a file allows only data there. */
export async function workletAddress(name) {
  if (!document.getElementById(`part-${name}`)) return name;
  return `data:text/javascript;charset=utf-8,${encodeURIComponent(new TextDecoder().decode(await bytes(name)))}`;
}

// Base 85: four bytes in five of the characters from # on, without < and \. Denser than base 64.
const first = 35;
const digits = new Uint8Array(128);
for (let code = first, digit = 0; digit < 85; code++) {
  if (code !== 60 && code !== 92) digits[code] = digit++;
}

function decode(text) {
  const start = text.indexOf(" ") + 1;
  const out = new Uint8Array(Number(text.slice(0, start)));
  for (let at = start, i = 0; i < out.length; at += 5, i += 4) {
    let word = 0;
    for (let k = 0; k < 5; k++) word = word * 85 + digits[text.charCodeAt(at + k)];
    for (let k = 0; k < 4 && i + k < out.length; k++) out[i + k] = (word / 2 ** (24 - 8 * k)) & 255;
  }
  return out;
}
