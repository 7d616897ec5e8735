namespace StageView.TestKit;

/// <summary>Texts of a rig that includes a drawing and adds to it, and of rigs whose MVR files are what others commit.</summary>
public static class DrawnRig
{
    /// <summary>A rig with a camera, a mirror, an area and a volume of its own; everything else is the drawing's.</summary>
    public static string Text => $$"""
        {
          // What the drawing office doesn't know.
          "name": "Drawn",
          "include": ["drawing/drawing.rig.jsonc"],
          "profiles": [{{Profiles}}],
          "cameras": [{ "name": "house", "at": [0, -12, 2], "lookAt": [0, 3, 3] }],
          "mirrors": [{ "name": "wall", "at": [0, 8, 2], "size": [2, 2] }],
          "areas": [{ "name": "floor", "corner": [-1, 0, 0], "across": [2, 0, 0], "along": [0, 2, 0], "points": [3, 3] }],
          "volumes": [{ "name": "stalls", "kind": "audience", "at": [0, -6, 1], "size": [8, 6, 2] }]
        }
        """;

    /// <summary>A rig to export: heads at a height, patched from an address on.</summary>
    /// <param name="heads">How many.</param>
    /// <param name="height">m.</param>
    /// <param name="patch">Address of the first.</param>
    /// <param name="more">Further keys of the rig.</param>
    public static string Office(int heads, double height, string patch, string more = "") => FormattableString.Invariant($$"""
        {
          "profiles": [{{Profiles}}],
          "hangs": [{ "name": "head", "profile": "spot-head", "number": 101, "patch": "{{patch}}",
            "row": { "from": [0, 2, {{height}}], "to": [{{heads - 1}}, 2, {{height}}], "count": {{heads}} } }],
          "scenery": [{ "name": "riser", "shape": "box", "at": [0, 4, 0.25], "size": [3, 2, 0.5] }]{{(more.Length > 0 ? ", " : "")}}{{more}}
        }
        """);

    private static string Profiles => System.Text.Json.JsonSerializer.Serialize(Repo.File("assets", "fixtures"));
}
