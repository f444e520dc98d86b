// Makes elements and ids.
export function element(tag, text, className, ...children) {
  const made = document.createElement(tag);
  if (text) made.append(text);
  if (className) made.className = className;
  made.append(...children.filter(Boolean));
  return made;
}

export function button(text, onClick, { pressed, className } = {}, ...children) {
  const made = element('button', text, className, ...children);
  made.type = 'button';
  if (pressed !== undefined) made.setAttribute('aria-pressed', pressed);
  made.addEventListener('click', onClick);
  return made;
}

// RFC 9562, version 4. Not crypto.randomUUID: that is missing on a page that came without TLS.
export function uuid() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = bytes[6] & 0x0f | 0x40;
  bytes[8] = bytes[8] & 0x3f | 0x80;
  const hex = Array.from(bytes, byte => byte.toString(16).padStart(2, '0')).join('');
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join('-');
}

// Eight characters of 32, without those that are misread: 40 bits.
export function shortId() {
  return Array.from(crypto.getRandomValues(new Uint8Array(8)), byte => '23456789abcdefghjkmnpqrstuvwxyz0'[byte & 31]).join('');
}
