// What `xz --format=lzma` has packed, unpacked: the gzip that browsers know makes a page half as large again. By the
// LZMA specification, whose names are kept.

/** The bytes, which are so many. Throws where a byte was changed on the way: the coder then does not end at nought. */
function unpacked(packed, size) {
  const DAMAGED = 'this file was damaged on the way, and judges nothing: fetch it again';
  // What xz packs with unless it is told otherwise: lc = 3, lp = 0, pb = 2.
  if (packed[0] !== 0x5d || packed[13] !== 0) throw new Error(DAMAGED);
  const out = new Uint8Array(size);
  // Behind a header of 13 bytes stand a nought and the first four bytes of the range coder. Both of its numbers are
  // kept signed, which are the quick ones, and worked with unsigned.
  let from = 18;
  let range = -1;
  let code = new DataView(packed.buffer).getInt32(14);

  let room = 0;
  const taken = (count) => (room += count) - count;
  const [literals, isMatch, isRep0Long] = [taken(0x300 << 3), taken(12 << 2), taken(12 << 2)];
  const [isRep, isRepG0, isRepG1, isRepG2] = [taken(12), taken(12), taken(12), taken(12)];
  const [posSlots, posSpecial, align] = [taken(4 << 6), taken(128), taken(16)];
  const [matchLengths, repLengths] = [taken(322), taken(322)];
  const probs = new Uint16Array(room).fill(1024);

  /** So many bits of one tree; a literal's also by the byte that is matched, as long as it is like that. */
  function tree(start, bits, matched) {
    let r = range >>> 0;
    let c = code >>> 0;
    let like = matched;
    let m = 1;
    for (let left = bits; left > 0; left -= 1) {
      const at = start + m + (like < 0 ? 0 : 256 + (like & 128) * 2);
      const prob = probs[at];
      const bound = (r >>> 11) * prob;
      if (c < bound) {
        r = bound;
        probs[at] = prob + ((2048 - prob) >> 5);
        m <<= 1;
      } else {
        r -= bound;
        c -= bound;
        probs[at] = prob - (prob >> 5);
        m = (m << 1) | 1;
      }
      if (r < 0x1000000) {
        r = (r << 8) >>> 0;
        c = ((c << 8) | packed[from]) >>> 0;
        from += 1;
      }
      if (like >= 0) like = like >> 7 === (m & 1) ? (like << 1) & 0xff : -1;
    }
    range = r | 0;
    code = c | 0;
    return m - (1 << bits);
  }
  const bit = (at) => tree(at - 1, 1, -1);
  function reverseTree(start, bits) {
    let m = 1;
    let value = 0;
    for (let nth = 0; nth < bits; nth += 1) {
      const one = bit(start + m);
      m = (m << 1) | one;
      value |= one << nth;
    }
    return value;
  }
  function directBits(bits) {
    let r = range >>> 0;
    let c = code >>> 0;
    let value = 0;
    for (let left = bits; left > 0; left -= 1) {
      r >>>= 1;
      const one = c < r ? 0 : 1;
      if (one) c -= r;
      if (r < 0x1000000) {
        r = (r << 8) >>> 0;
        c = ((c << 8) | packed[from]) >>> 0;
        from += 1;
      }
      value = value * 2 + one;
    }
    range = r | 0;
    code = c | 0;
    return value;
  }
  function length(of, posState) {
    if (!bit(of)) return 2 + tree(of + 2 + (posState << 3), 3, -1);
    if (!bit(of + 1)) return 10 + tree(of + 34 + (posState << 3), 3, -1);
    return 18 + tree(of + 66, 8, -1);
  }
  function distance(len) {
    const slot = tree(posSlots + (Math.min(len - 2, 3) << 6), 6, -1);
    if (slot < 4) return slot;
    const bits = (slot >> 1) - 1;
    const high = ((2 | (slot & 1)) << bits) >>> 0;
    if (slot < 14) return high + reverseTree(posSpecial + high - slot, bits);
    return high + directBits(bits - 4) * 16 + reverseTree(align, 4);
  }

  let rep0 = 0;
  let rep1 = 0;
  let rep2 = 0;
  let rep3 = 0;
  let state = 0;
  let at = 0;
  while (at <= size) {
    const posState = at & 3;
    if (!bit(isMatch + (state << 2) + posState)) {
      const before = at > 0 ? out[at - 1] >> 5 : 0;
      out[at] = tree(literals + 0x300 * before, 8, state < 7 ? -1 : out[at - rep0 - 1]);
      at += 1;
      state = state < 4 ? 0 : state - (state < 10 ? 3 : 6);
      continue;
    }
    let len = 1;
    if (!bit(isRep + state)) {
      len = length(matchLengths, posState);
      [rep0, rep1, rep2, rep3] = [distance(len), rep0, rep1, rep2];
      if (rep0 === 0xffffffff) break;
      state = state < 7 ? 7 : 10;
    } else {
      let short = false;
      if (!bit(isRepG0 + state)) short = !bit(isRep0Long + (state << 2) + posState);
      else if (!bit(isRepG1 + state)) [rep0, rep1] = [rep1, rep0];
      else if (!bit(isRepG2 + state)) [rep0, rep1, rep2] = [rep2, rep0, rep1];
      else [rep0, rep1, rep2, rep3] = [rep3, rep0, rep1, rep2];
      if (!short) len = length(repLengths, posState);
      state = (short ? 9 : 8) + (state < 7 ? 0 : short ? 2 : 3);
    }
    for (const end = at + len; at < end; at += 1) out[at] = out[at - rep0 - 1];
  }
  if (code !== 0 || at !== size) throw new Error(DAMAGED);
  return out;
}
