using System.Globalization;
using StageView.Light.Geometry;
using StageView.Light.Photometry;
using StageView.Rig.Assets;
using StageView.Rig.Source;

namespace StageView.Rig.Profiles;

/// <summary>
/// Compares what a profile states with its photometric file: lumens, beam angle (half of the largest intensity) and field angle (a tenth; both of LM-75's
/// reference). They may part by a tenth, angles by at least a degree (common practice, no source).
/// </summary>
internal sealed class PhotometryCheck
{
    private const float Share = .1f;
    private const float LeastDegrees = 1;

    private readonly string _file;
    private readonly RigAssets _assets;
    private readonly ProblemList _problems;
    private readonly List<PhotometryMatch> _found = [];
    private readonly (float From, float To)? _zoom;

    /// <param name="file">The profile, as <see cref="PhotometryReader"/> knows it.</param>
    /// <param name="modes">Its modes: a zoom's range counts for the beam angle.</param>
    public PhotometryCheck(string file, IReadOnlyList<FixtureMode> modes, RigAssets assets, ProblemList problems)
    {
        (_file, _assets, _problems) = (file, assets, problems);
        var zooms = modes.SelectMany(m => m.Channels).SelectMany(c => c.Functions).Where(f => f.Attribute.Equals("Zoom", StringComparison.OrdinalIgnoreCase))
            .SelectMany(f => (float[])[f.PhysicalFrom, f.PhysicalTo]).ToList();
        _zoom = zooms.Count > 0 ? (zooms.Min(), zooms.Max()) : null;
    }

    public IReadOnlyList<PhotometryMatch> Compare(SourceNode root)
    {
        foreach (var g in root.ListOf("geometry"))
        {
            Visit(g);
        }

        return _found;
    }

    private void Visit(SourceNode geometry)
    {
        if (geometry.Get("beam") is { } beam && (beam.Get("photometry") ?? beam.Get("measured")) is { } named
            && _assets.Web(named.Text + " " + _file, () => PhotometryReader.ReadWeb(named, _file, _assets, _problems)) is >= 0 and var web)
        {
            Compare(geometry.TextOr("name"), beam, _assets.Webs[web]);
        }

        foreach (var part in geometry.ListOf("parts"))
        {
            Visit(part);
        }
    }

    private void Compare(string name, SourceNode beam, PhotometricWeb web)
    {
        if (beam.Get("flux") is { } flux)
        {
            Add(flux, new(name, "lumens", "lm", (float)flux.Number, web.Lumens, Share * web.Lumens));
        }

        var stated = beam.NumberOr("beamAngle", 0);
        var measured = 2 * Angles.Degrees(WebAngles.WidestAt(web, .5f));
        var nearest = _zoom is { } z ? Math.Clamp(measured, z.From, z.To) : stated;
        if (beam.Get("beamAngle") is { } angle)
        {
            Add(angle, new(name, "beam angle", "deg", nearest, measured, Math.Max(LeastDegrees, Share * measured)));
        }

        if (beam.Get("fieldAngle") is { } field && stated > 0)
        {
            var wide = 2 * Angles.Degrees(WebAngles.WidestAt(web, .1f));
            Add(field, new(name, "field angle", "deg", (float)field.Number * nearest / stated, wide, Math.Max(LeastDegrees, Share * wide)));
        }
    }

    private void Add(SourceNode at, PhotometryMatch match)
    {
        _found.Add(match);
        if (match.IsApart)
        {
            _problems.Warn(at, string.Create(CultureInfo.InvariantCulture,
                $"the {match.What} of {match.Stated:0.##} {match.Unit} is not what the photometric file has: {match.Measured:0.##} {match.Unit}; "
                + $"they may part by {match.Allowed:0.##} {match.Unit}"));
        }
    }
}
