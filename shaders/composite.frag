// From radiance to the screen.
#include "include/screen.glsl"
layout(location = 0) out vec4 screen;

void main() { screen = vec4(screenAt(ivec2(gl_FragCoord.xy)), 1.0); }
