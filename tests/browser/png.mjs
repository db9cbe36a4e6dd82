// PNG images (W3C PNG, third edition): reading the eight-bit ones that a screenshot is, and writing small ones.
import { deflateSync, inflateSync } from "node:zlib";

const kSignature = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
const kChannels = { 2: 3, 6: 4 }; // colour types: truecolour, with and without alpha

// {width, height, pixel(x, y): 0xRRGGBB}
export function read_png(bytes) {
  const width = bytes.readUInt32BE(16);
  const height = bytes.readUInt32BE(20);
  const step = kChannels[bytes[25]];
  if (bytes[24] !== 8 || !step || bytes[28] !== 0) throw new Error("not the kind of PNG that a screenshot is");
  const parts = [];
  for (let at = 8; at < bytes.length; at += 12 + bytes.readUInt32BE(at)) {
    if (bytes.toString("latin1", at + 4, at + 8) === "IDAT") parts.push(bytes.subarray(at + 8, at + 8 + bytes.readUInt32BE(at)));
  }
  const rows = unfilter(inflateSync(Buffer.concat(parts)), width * step, height, step);
  const pixel = (x, y) => rows.readUIntBE((y * width + x) * step, 3);
  return { width, height, pixel };
}

function unfilter(filtered, row_bytes, height, step) {
  const rows = Buffer.alloc(row_bytes * height);
  for (let y = 0; y < height; ++y) {
    const kind = filtered[y * (row_bytes + 1)];
    const from = y * (row_bytes + 1) + 1;
    const at = y * row_bytes;
    for (let x = 0; x < row_bytes; ++x) {
      const left = x >= step ? rows[at + x - step] : 0;
      const up = y > 0 ? rows[at + x - row_bytes] : 0;
      const corner = x >= step && y > 0 ? rows[at + x - row_bytes - step] : 0;
      rows[at + x] = filtered[from + x] + [0, left, up, (left + up) >> 1, nearest(left, up, corner)][kind];
    }
  }
  return rows;
}

// Paeth's predictor.
function nearest(left, up, corner) {
  const guess = left + up - corner;
  const [a, b, c] = [Math.abs(guess - left), Math.abs(guess - up), Math.abs(guess - corner)];
  return a <= b && a <= c ? left : b <= c ? up : corner;
}

// How many different colours there are within a rectangle.
export function colours_in(image, { x, y, width, height }) {
  const seen = new Set();
  for (let row = Math.ceil(y); row < Math.floor(y + height); ++row) {
    for (let column = Math.ceil(x); column < Math.floor(x + width); ++column) seen.add(image.pixel(column, row));
  }
  return seen.size;
}

// The check of ISO 3309 that ends every chunk, least significant bit first.
function crc32(bytes) {
  let rest = 0xffffffff;
  for (const byte of bytes) {
    rest ^= byte;
    for (let bit = 0; bit < 8; ++bit) rest = rest & 1 ? (rest >>> 1) ^ 0xedb88320 : rest >>> 1;
  }
  return ~rest >>> 0;
}

function chunk(name, data) {
  const body = Buffer.concat([Buffer.from(name, "latin1"), data]);
  const framed = Buffer.alloc(body.length + 8);
  framed.writeUInt32BE(data.length, 0);
  body.copy(framed, 4);
  framed.writeUInt32BE(crc32(body), body.length + 4);
  return framed;
}

// With a palette of at most 256 colours: the most frequent ones, each other pixel in the nearest of them.
export function write_palette_png(image) {
  const { width, height } = image;
  const counts = new Map();
  for (let y = 0; y < height; ++y) for (let x = 0; x < width; ++x) counts.set(image.pixel(x, y), (counts.get(image.pixel(x, y)) ?? 0) + 1);
  const palette = spread(counts, 256);
  const index_of = new Map([...counts.keys()].map((colour) => [colour, nearest_of(palette, colour)]));
  const rows = Buffer.alloc((width + 1) * height); // filter 0 in front of each row
  for (let y = 0; y < height; ++y) for (let x = 0; x < width; ++x) rows[y * (width + 1) + 1 + x] = index_of.get(image.pixel(x, y));
  const head = Buffer.alloc(13);
  head.writeUInt32BE(width, 0);
  head.writeUInt32BE(height, 4);
  head.set([8, 3, 0, 0, 0], 8); // eight bits, palette
  const colours = Buffer.alloc(palette.length * 3);
  palette.forEach((colour, i) => colours.writeUIntBE(colour, 3 * i, 3));
  return Buffer.concat([kSignature, chunk("IHDR", head), chunk("PLTE", colours), chunk("IDAT", deflateSync(rows, { level: 9 })), chunk("IEND", Buffer.alloc(0))]);
}

// The most frequent colours of which no two are nearly the same.
function spread(counts, most) {
  const by_count = [...counts].sort((a, b) => b[1] - a[1]).map(([colour]) => colour);
  const palette = [];
  for (const colour of by_count) {
    if (palette.length === most) break;
    if (palette.every((other) => distance(other, colour) > 60)) palette.push(colour);
  }
  return palette;
}
function nearest_of(palette, colour) {
  let best = 0;
  palette.forEach((other, i) => {
    if (distance(other, colour) < distance(palette[best], colour)) best = i;
  });
  return best;
}
function distance(a, b) {
  return [16, 8, 0].reduce((sum, shift) => sum + (((a >> shift) & 255) - ((b >> shift) & 255)) ** 2, 0);
}
