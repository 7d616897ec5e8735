// One of the views that a picture is the mean of.
uniform sampler2D radianceMap;
uniform float share;
layout(location = 0) out vec4 radiance;

void main() { radiance = share * texelFetch(radianceMap, ivec2(gl_FragCoord.xy), 0); }
