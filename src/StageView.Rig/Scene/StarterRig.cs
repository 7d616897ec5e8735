namespace StageView.Rig.Scene;

/// <summary>The files that <c>stageview new</c> writes: a small rig that loads, with a comment at each thing to change.</summary>
public static class StarterRig
{
    /// <summary>Relative path and text of each file.</summary>
    public static IReadOnlyList<(string Name, string Text)> Files =>
    [
        ("show.rig.jsonc", Rig),
        ("house.venue.jsonc", Venue),
        ("fixtures/small-spot.fixture.jsonc", Fixture),
        ("schema/rig.schema.json", SchemaFiles.Write("rig.schema.json")),
        ("schema/fixture.schema.json", SchemaFiles.Write("fixture.schema.json")),
        ("schema/venue.schema.json", SchemaFiles.Write("venue.schema.json")),
    ];

    private const string Rig = """
        // A small rig to start from. Metres; x to the audience's right, y upstage, z up; the origin is the centre line at the downstage edge.
        // An editor that knows JSON Schema completes the keys and shows what they mean.
        {
          "$schema": "schema/rig.schema.json",
          "name": "My show",

          // Folders with fixture profiles (*.fixture.jsonc) or GDTF files (*.gdtf), from this file's folder.
          "profiles": ["fixtures"],

          // How many mirrors a beam may meet.
          "bounces": 2,

          // Share of the light lost in a metre: .01 to .03 for a hazed stage. 0 is clear air.
          "haze": { "extinction": 0.015 },

          "cameras": [
            { "name": "house", "at": [0, -12, 1.6], "lookAt": [0, 3, 2.5], "fieldOfView": 45, "ev": 5 }
          ],

          // Where `stageview lux` measures.
          "areas": [
            { "name": "stage-floor", "corner": [-4, 0.5, 0.01], "across": [8, 0, 0], "along": [0, 5, 0], "points": [17, 11] }
          ],

          // Where people may be, for caution checks. They never say that something is safe.
          "volumes": [
            { "name": "audience", "kind": "audience", "at": [0, -7, 1.1], "size": [12, 10, 2.2] }
          ],

          // A part moves as one: change its "at" and everything in it comes along.
          "parts": [
            {
              "name": "front truss", "at": [0, 1, 6],
              "scenery": [{ "name": "front truss", "shape": "truss", "from": [-5, 0, 0], "to": [5, 0, 0] }],
              "hangs": [
                // Four in a row, numbered 101 to 104, addressed one after the other.
                { "name": "spot", "profile": "small-spot", "number": 101, "groups": ["spots"],
                  "row": { "from": [-4, 0, -0.2], "to": [4, 0, -0.2], "count": 4 }, "patch": "1.1" }
              ]
            }
          ],

          // A mirror upstage, facing the house: beams that meet it come back.
          "mirrors": [
            { "name": "rear mirror", "at": [0, 6, 2.5], "size": [4, 2], "surface": { "reflectance": 0.9, "sheet": 0.003, "index": 1.49 } }
          ],

          "scenery": [
            { "name": "floor", "shape": "box", "at": [0, 3, -0.1], "size": [12, 8, 0.2], "albedo": 0.08 },
            { "name": "performer", "shape": "person", "at": [0, 2, 0], "height": 1.75, "albedo": 0.3 }
          ]
        }

        """;

    private const string Venue = """
        // What one house changes: `stageview check show.rig.jsonc --venue house.venue.jsonc` lists it. The tour's file stays as it is.
        {
          "$schema": "schema/venue.schema.json",
          "name": "A low house",
          "move": [{ "what": "front truss", "trim": 5.2, "why": "low roof" }],
          "volumes": [{ "name": "audience", "kind": "audience", "at": [0, -5, 1.1], "size": [9, 7, 2.2] }],
          "sightLines": [{ "name": "under the balcony", "eye": [0, -9, 1.2], "edge": [0, -6, 3.2] }]
        }

        """;

    private const string Fixture = """
        // An invented moving spot. Attributes have the names of DIN SPEC 15800; values count 0 to 255 (of the coarse byte).
        {
          "$schema": "../schema/fixture.schema.json",
          "name": "Small spot",
          "weight": 14,
          "power": 260,
          // It hangs with z up and looks along -z; pan turns about z, tilt about x.
          "geometry": [
            {
              "name": "base", "body": { "shape": "box", "size": [0.3, 0.22, 0.12], "at": [0, 0, -0.06] },
              "parts": [
                {
                  "name": "yoke", "at": [0, 0, -0.12], "axis": { "motion": "pan", "speed": 220, "acceleration": 450 },
                  "parts": [
                    {
                      "name": "head", "at": [0, 0, -0.25], "axis": { "motion": "tilt", "speed": 180, "acceleration": 400 },
                      "body": { "shape": "cylinder", "size": [0.22, 0.22, 0.36] },
                      "parts": [
                        { "name": "lens", "at": [0, 0, -0.18], "beam": { "kind": "spot", "flux": 7000, "beamAngle": 14, "lensRadius": 0.05,
                          "colourTemperature": 6500 } }
                      ]
                    }
                  ]
                }
              ]
            }
          ],
          "modes": [
            {
              "name": "Standard",
              "channels": [
                { "attribute": "Pan", "geometry": "yoke", "bits": "16", "default": 128, "physical": [-270, 270] },
                { "attribute": "Tilt", "geometry": "head", "bits": "16", "default": 128, "physical": [-130, 130] },
                { "attribute": "Dimmer", "geometry": "lens" },
                { "attribute": "Zoom", "geometry": "lens", "default": 64, "physical": [6, 40] },
                { "attribute": "ColorSub_C", "geometry": "lens" },
                { "attribute": "ColorSub_M", "geometry": "lens" },
                { "attribute": "ColorSub_Y", "geometry": "lens" }
              ]
            }
          ]
        }

        """;
}
