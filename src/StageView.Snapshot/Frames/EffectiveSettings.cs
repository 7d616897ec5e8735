using System.Globalization;
using StageView.Snapshot.Compare;

namespace StageView.Snapshot.Frames;

/// <summary>The settings that hold for a frame, and which source each value came from.</summary>
public sealed class EffectiveSettings
{
    private readonly Dictionary<string, string> _sources = [];

    public CompareSettings Settings { get; private set; } = CompareSettings.Default;

    /// <summary>File of the mask, or null.</summary>
    public string? Mask { get; private set; }

    /// <summary>Each setting in words, with its source: <c>levels 2 (default)</c>.</summary>
    public IEnumerable<string> Lines()
    {
        var s = Settings;
        yield return Say("renderer", s.Renderer == RendererMatch.Same ? "same" : "other");
        yield return Say("mode", s.Mode == CompareMode.Levels ? "levels" : "perceptual");
        if (s.Mode == CompareMode.Perceptual)
        {
            yield return Say("perceptual", s.Perceptual.ToString(CultureInfo.InvariantCulture));
        }

        yield return Say("levels", $"{s.Levels}");
        yield return Say("blockLevels", s.BlockLevels.ToString(CultureInfo.InvariantCulture));
        yield return Say("forgiveEdges", s.ForgiveEdges ? "yes" : "no");
        yield return Say("changedShare", s.ChangedShare.ToString(CultureInfo.InvariantCulture));
        yield return Say("mask", Mask ?? "none");
        yield return Say("regions", s.Regions.Count == 0 ? "none" : string.Join(", ", s.Regions.Select(r => r.Name)));
    }

    /// <summary>Lays one source over what holds so far.</summary>
    /// <param name="folder">Folder that a mask is relative to.</param>
    /// <exception cref="SnapshotException">A value is out of its range.</exception>
    public EffectiveSettings Over(TolerancePart? part, string source, string folder = ".")
    {
        if (part is null)
        {
            return this;
        }

        if (part.Renderer is { } renderer)
        {
            Preset(renderer, source);
        }

        Take("mode", part.Mode, v => Settings = Settings with { Mode = v });
        Take("levels", part.Levels, v => Settings = Settings with { Levels = Check(v, v is >= 0 and <= 255, "levels", "0 to 255") });
        Take("blockLevels", part.BlockLevels,
            v => Settings = Settings with { BlockLevels = Check(v, v is > 0 and <= 255, "blockLevels", "above 0, at most 255") });
        Take("forgiveEdges", part.ForgiveEdges, v => Settings = Settings with { ForgiveEdges = v });
        Take("changedShare", part.ChangedShare, v => Settings = Settings with { ChangedShare = Check(v, v is >= 0 and <= 1, "changedShare", "0 to 1") });
        Take("perceptual", part.Perceptual, v => Settings = Settings with { Perceptual = Check(v, v is > 0 and <= 1, "perceptual", "above 0, at most 1") });
        if (part.Mask is { Length: > 0 } mask)
        {
            (Mask, _sources["mask"]) = (Path.Combine(folder, mask), source);
        }

        if (part.Regions is { } regions)
        {
            foreach (var r in regions)
            {
                Check(r, r is { Left: >= 0, Top: >= 0, Width: > 0, Height: > 0 } && r.Left + r.Width <= 1.0001 && r.Top + r.Height <= 1.0001,
                    $"regions '{r.Name}'", "inside the frame: shares of its width and height, 0 to 1");
            }

            Settings = Settings with { Regions = [.. Settings.Regions, .. regions] };
            _sources["regions"] = source;
        }

        return this;

        void Take<T>(string name, T? value, Action<T> set)
            where T : struct
        {
            if (value is { } v)
            {
                set(v);
                _sources[name] = source;
            }
        }

        T Check<T>(T value, bool ok, string name, string range) =>
            ok ? value : throw new SnapshotException($"{source}: {name} must be {range}");
    }

    /// <summary>The tolerances that go with what the frames come from, in place of all that was said of them before.</summary>
    private void Preset(RendererMatch renderer, string source)
    {
        var preset = renderer == RendererMatch.Other ? CompareSettings.OtherRenderer : CompareSettings.Default;
        Settings = Settings with
        {
            Renderer = renderer,
            Levels = preset.Levels,
            BlockLevels = preset.BlockLevels,
            ChangedShare = preset.ChangedShare,
            Perceptual = preset.Perceptual,
        };
        foreach (var name in new[] { "renderer", "levels", "blockLevels", "changedShare", "perceptual" })
        {
            _sources[name] = name == "renderer" ? source : $"renderer of {source}";
        }
    }

    private string Say(string name, string value) => $"{name} {value} ({_sources.GetValueOrDefault(name, "default")})";
}
