using StageView.Rig.Keys;
using StageView.Rig.Profiles;

namespace StageView.Rig.Scene;

/// <summary>The JSON Schemas of our own files, made from the same key tables that check them.</summary>
public static class SchemaFiles
{
    /// <summary>File names in <c>assets/schema</c>.</summary>
    public static IReadOnlyList<string> Names { get; } = ["rig.schema.json", "fixture.schema.json", "venue.schema.json"];

    /// <exception cref="ArgumentException">No schema of that name.</exception>
    public static string Write(string name) => name switch
    {
        "rig.schema.json" => SchemaWriter.Write(SceneKeys.Rig, "StageView rig scene"),
        "fixture.schema.json" => SchemaWriter.Write(ProfileKeys.Profile, "StageView fixture profile"),
        "venue.schema.json" => SchemaWriter.Write(SceneKeys.Venue, "StageView venue"),
        _ => throw new ArgumentException($"no schema named {name}", nameof(name)),
    };
}
