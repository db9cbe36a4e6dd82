// A number is not parted from its unit or its sign.
export const held = (text) => text.replaceAll(/(\d) (%|Hz|mm|ppm|dB)/g, "$1\u00a0$2").replaceAll("\u00b1 ", "\u00b1\u00a0");
