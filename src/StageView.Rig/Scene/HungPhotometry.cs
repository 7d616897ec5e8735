using StageView.Rig.Profiles;
using StageView.Rig.Source;

namespace StageView.Rig.Scene;

/// <summary>Modes whose beams have measured intensities that a hang names; made once for each mode and file.</summary>
internal sealed class HungPhotometry
{
    private readonly SceneBuild _build;
    private readonly Dictionary<(FixtureMode, string), FixtureMode?> _made = [];

    private readonly string _folder;

    /// <param name="build">The rig that is being read.</param>
    /// <param name="folder">Where the scene file lies.</param>
    public HungPhotometry(SceneBuild build, string folder) => (_build, _folder) = (build, folder);

    /// <summary>The mode with the file's intensities on its beams; its lumens are shared out among them as the profile shares its own.</summary>
    /// <param name="mode">A mode of the profile.</param>
    /// <param name="named">The file, from the scene file's folder.</param>
    public FixtureMode? Apply(FixtureMode mode, SourceNode named)
    {
        var key = (mode, named.Text);
        if (_made.TryGetValue(key, out var known))
        {
            return known;
        }

        var flux = mode.Geometry.Sum(g => g.Beam?.LuminousFlux ?? 0);
        if (flux <= 0)
        {
            _build.Problems.Error(named, $"mode \"{mode.Name}\" has no beam that could have the intensities of {named.Text}");
            return _made[key] = null;
        }

        var web = PhotometryReader.ReadWeb(named, Path.Combine(_folder, "scene"), _build.Assets, _build.Problems);
        if (web < 0)
        {
            return _made[key] = null;
        }

        var lumens = _build.Assets.Webs[web].Lumens;
        return _made[key] = mode with
        {
            Geometry =
                [.. mode.Geometry.Select(g => g.Beam is { } b ? g with { Beam = b with { Web = web, LuminousFlux = lumens * b.LuminousFlux / flux } } : g)],
        };
    }
}
