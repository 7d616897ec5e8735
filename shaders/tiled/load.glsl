// Fills the globals of include/beam.glsl, which a fragment gets from beam.vert.
void loadBeam(int number) {
  int row = number * BEAM_ROWS;
  bApex = texelFetch(beamRows, row);
  bAxis = texelFetch(beamRows, row + 1);
  bLight = texelFetch(beamRows, row + 3);
  bCurve = texelFetch(beamRows, row + 4);
  bStart = texelFetch(beamRows, row + 5);
  bEnd = texelFetch(beamRows, row + 6);
  bMore = vec4(texelFetch(beamRows, row + 7).xyz, float(row));
#if defined(SHADOWS) || defined(GOBOS) || defined(WEBS)
  bUp = texelFetch(beamRows, row + 2);
#endif
#ifdef GOBOS
  bGobo = texelFetch(beamRows, row + 8);
  bFocus = texelFetch(beamRows, row + 9);
#endif
#ifdef SHADOWS
  bTile = texelFetch(beamRows, row + 10);
  bDepth = texelFetch(beamRows, row + 11);
#endif
}
