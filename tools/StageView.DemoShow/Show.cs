using System.Text.Json;
using StageView.Rig.Pieces;
using StageView.Stage.Levels;
using StageView.Stage.Looks;

namespace StageView.DemoShow;

/// <summary>Plays a cue file: cues that fade and stay, chases and pixel patterns on top of them.</summary>
internal sealed class Show
{
    private readonly RigScene _rig;
    private readonly LevelsEncoder _goal;
    private readonly LevelsEncoder _out;
    private readonly LookSetter _setter;
    private readonly List<(double Time, JsonElement Cue, string Path)> _cues = [];
    private readonly List<Chase> _chases = [];
    private readonly List<PixelLayer> _layers = [];
    private readonly ChannelFade[][] _fades;
    private readonly int[] _used;

    public Show(RigScene rig, JsonElement file, List<LookProblem> problems)
    {
        _rig = rig;
        _goal = new LevelsEncoder(rig);
        _out = new LevelsEncoder(rig);
        Rate = file.TryGetProperty("rate", out var r) ? r.GetInt32() : 40;
        Length = TimeSpan.FromSeconds(file.GetProperty("length").GetDouble());
        _setter = new LookSetter(_goal, LookFile.Points(file, problems));
        _cues.AddRange(List(file, "cues").Select((c, i) => (c.GetProperty("time").GetDouble(), c, $"$.cues[{i}]")).OrderBy(c => c.Item1));
        var seed = file.TryGetProperty("seed", out var s) ? s.GetInt32() : 1;
        _chases.AddRange(List(file, "chases").Select((c, i) => Chase.Read(rig, c, $"$.chases[{i}]", seed, problems)).OfType<Chase>());
        _layers.AddRange(List(file, "pixels").Select((c, i) => PixelLayer.Read(rig, c, $"$.pixels[{i}]", seed, problems)).OfType<PixelLayer>());
        _fades = [.. rig.Fixtures.Select(f => f.Mode.Channels.Select(c => new ChannelFade(_goal.RawOf(f, c))).ToArray())];
        _used = Used();
    }

    public int Rate { get; }

    public TimeSpan Length { get; }

    public void Play(ConsoleOutput console, List<LookProblem> problems)
    {
        var next = 0;
        var ticks = (int)Math.Round(Length.TotalSeconds * Rate);
        for (var tick = 0; tick <= ticks; tick++)
        {
            var t = tick / (double)Rate;
            for (; next < _cues.Count && _cues[next].Time <= t + 1e-9; next++)
            {
                Start(_cues[next], problems);
            }

            _out.Reset();
            for (var f = 0; f < _fades.Length; f++)
            {
                var fixture = _rig.Fixtures[f];
                for (var c = 0; c < _fades[f].Length; c++)
                {
                    _out.SetRaw(fixture, fixture.Mode.Channels[c], _fades[f][c].At(t));
                }
            }

            foreach (var chase in _chases)
            {
                chase.Apply(_out, t, problems);
            }

            foreach (var layer in _layers)
            {
                layer.Apply(_out, t);
            }

            console.Tick(TimeSpan.FromTicks(tick * TimeSpan.TicksPerSecond / Rate), _out, _used);
        }
    }

    private void Start((double Time, JsonElement Cue, string Path) cue, List<LookProblem> problems)
    {
        var fade = Number(cue.Cue, "fade", 0);
        var i = 0;
        foreach (var entry in List(cue.Cue, "set"))
        {
            _setter.Apply(entry, $"{cue.Path}.set[{i++}]", problems);
            var start = cue.Time + Number(entry, "delay", 0);
            var seconds = Number(entry, "fade", fade);
            for (var f = 0; f < _fades.Length; f++)
            {
                var fixture = _rig.Fixtures[f];
                for (var c = 0; c < _fades[f].Length; c++)
                {
                    var channel = fixture.Mode.Channels[c];
                    _fades[f][c].GoTo(_goal.RawOf(fixture, channel), start, channel.Snap ? 0 : seconds);
                }
            }
        }
    }

    /// <summary>Last address in use of each universe.</summary>
    private int[] Used()
    {
        var used = new int[_out.Universes.Count];
        foreach (var fixture in _rig.Fixtures)
        {
            foreach (var patch in fixture.Patch.Where(p => p.Break <= fixture.Mode.Footprints.Count))
            {
                var last = patch.Start.Absolute + fixture.Mode.Footprints[patch.Break - 1] - 1;
                for (var u = 0; u < used.Length; u++)
                {
                    var first = (_out.Universes[u] - 1) * 512;
                    if (last >= first && patch.Start.Absolute < first + 512)
                    {
                        used[u] = Math.Max(used[u], Math.Min(last - first + 1, 512));
                    }
                }
            }
        }

        return used;
    }

    internal static double Number(JsonElement e, string name, double otherwise) =>
        e.TryGetProperty(name, out var v) && v.ValueKind == JsonValueKind.Number ? v.GetDouble() : otherwise;

    internal static string Text(JsonElement e, string name, string otherwise = "") =>
        e.TryGetProperty(name, out var v) && v.ValueKind == JsonValueKind.String ? v.GetString()! : otherwise;

    private static JsonElement[] List(JsonElement e, string name) =>
        e.TryGetProperty(name, out var v) && v.ValueKind == JsonValueKind.Array ? [.. v.EnumerateArray()] : [];
}
