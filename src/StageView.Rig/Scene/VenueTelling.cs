namespace StageView.Rig.Scene;

/// <summary>What a venue's removals leave behind: names that are gone, and what still refers to them.</summary>
internal static class VenueTelling
{
    /// <summary>All names that the venue left out: of things, and of hangs and groups that they were in; whatever their case.</summary>
    public static IReadOnlySet<string> LeftOut(SceneBuild build)
    {
        var gone = new HashSet<string>(StringComparer.OrdinalIgnoreCase);
        if (build.Venue is { } venue)
        {
            gone.UnionWith(venue.LeftOut);
            foreach (var h in build.Hung.Where(h => h.Removed && !h.LeftOut))
            {
                gone.UnionWith([h.Name, h.HangName, h.Number, .. h.Groups]);
            }
        }

        gone.Remove("");
        return gone;
    }

    /// <summary>For an error about a name that isn't there: that the venue left it out, or empty.</summary>
    public static string WhereGone(SceneBuild build, string name) =>
        build.Venue is { } venue && LeftOut(build).Contains(name) ? $"; the venue \"{venue.Name}\" leaves it out" : "";

    /// <summary>Presets that show a camera first that the venue left out.</summary>
    public static void TellReferences(SceneBuild build)
    {
        foreach (var p in build.Presets.Where(p => p.Camera.Length > 0 && WhereGone(build, p.Camera).Length > 0
            && !build.Cameras.Exists(c => c.Name == p.Camera)))
        {
            build.Venue!.Changed($"preset \"{p.Name}\" can't be used: its camera \"{p.Camera}\" is not there");
        }
    }
}
