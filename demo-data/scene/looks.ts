/** Skin and hair that go together, sRGB hex; who appears in a scene takes one of these. */
export const looks = [
  { skin: '#e0ac8a', hair: '#4b3120' },
  { skin: '#f0c4a4', hair: '#8a6038' },
  { skin: '#c68a63', hair: '#2a1c14' },
  { skin: '#8d5a3c', hair: '#17120f' },
  { skin: '#5f3c28', hair: '#121010' },
];
