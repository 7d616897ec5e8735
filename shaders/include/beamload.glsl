// Fills what BEAM_IN of beam.glsl names, for the beam of a number.
void loadBeam(int number) {
  int first = number * BEAM_ROWS;
  beamApexRow = texelFetch(beamRows, first + BEAM_APEX_ROW);
  beamAxisRow = texelFetch(beamRows, first + BEAM_AXIS_ROW);
  beamLightRow = texelFetch(beamRows, first + BEAM_LIGHT_ROW);
  beamCurveRow = texelFetch(beamRows, first + BEAM_CURVE_ROW);
  beamStartRow = texelFetch(beamRows, first + BEAM_START_ROW);
  beamEndRow = texelFetch(beamRows, first + BEAM_END_ROW);
  beamFirstEdgeRow = texelFetch(beamRows, first + BEAM_FIRST_EDGE_ROW);
  beamNearSquaredRow = texelFetch(beamRows, first + BEAM_NEAR_SQUARED_ROW);
#if defined(SHADOWS) || defined(GOBOS) || defined(WEBS) || defined(FORMED)
  beamUpRow = texelFetch(beamRows, first + BEAM_UP_ROW);
#endif
#ifdef GOBOS
  beamGoboLayerRow = texelFetch(beamRows, first + BEAM_GOBO_LAYER_ROW);
#endif
#if defined(GOBOS) || defined(FORMED)
  beamGoboOffsetRow = texelFetch(beamRows, first + BEAM_GOBO_OFFSET_ROW);
#endif
#ifdef FORMED
  beamFormRightRow = texelFetch(beamRows, first + BEAM_FORM_RIGHT_ROW);
  beamFirstExtraRow = texelFetch(beamRows, first + BEAM_FIRST_EXTRA_ROW);
#endif
#ifdef SHADOWS
  beamFirst = vec4(first, 0.0, 0.0, 0.0);
  beamShadowTileRow = texelFetch(beamRows, first + BEAM_SHADOW_TILE_ROW);
  beamShadowDepthOffsetRow = texelFetch(beamRows, first + BEAM_SHADOW_DEPTH_OFFSET_ROW);
#endif
}
