using System.Globalization;
using System.Numerics;
using System.Text;
using StageView.Light.Grids;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Render.Aids;
using StageView.Render.Output;
using StageView.Rig.Pieces;
using StageView.Show;
using StageView.Show.Frames;
using StageView.Show.Questions;
using static StageView.Show.Questions.Texts;

namespace StageView.App.Printing;

/// <summary>Illuminance, as told to people and programs.</summary>
internal sealed class LuxAnswer
{
    private const int MostNamed = 6;
    private readonly RigScene _rig;
    private readonly Moment _moment;
    private readonly LuxAsked _asked;
    private readonly List<(string Place, LuxMap Map)> _maps = [];
    private readonly List<(string Place, MeshLux Lux)> _meshes = [];
    private readonly List<(Vector3 Point, PointLux Lux)> _points = [];
    private readonly List<string> _files = [];

    private LuxAnswer(RigScene rig, Moment moment, LuxAsked asked) => (_rig, _moment, _asked) = (rig, moment, asked);

    public List<FrontLightFinding> Findings { get; } = [];

    public IReadOnlyList<(string Place, LuxMap Map)> Maps => _maps;

    public static LuxAnswer Of(RigScene rig, Moment moment, LuxAsked asked)
    {
        var answer = new LuxAnswer(rig, moment, asked);
        answer.Measure();
        return answer;
    }

    public void Print(bool json)
    {
        if (json)
        {
            Answers.WriteJson(new
            {
                rig = _rig.Name,
                seconds = _moment.Time.TotalSeconds,
                measure = _asked.Measure,
                throughHaze = !_asked.ClearAir,
                areas = _maps.Select(m => new { place = m.Place, columns = m.Map.Grid.CountU, rows = m.Map.Grid.CountV, average = m.Map.Average, minimum = m.Map.Minimum, maximum = m.Map.Maximum, uniformity = m.Map.Uniformity, minimumOverMaximum = m.Map.Diversity, lux = m.Map.Lux }),
                pieces = _meshes.Select(m => new { place = m.Place, average = m.Lux.Average, minimum = m.Lux.Lux.Min(), maximum = m.Lux.Lux.Max() }),
                points = _points.Select(p => new { point = Array(p.Point), p.Lux }),
                findings = _asked.IsCheck ? Findings : null,
                files = _files,
            });
            return;
        }

        if (_maps.Count + _meshes.Count > 0)
        {
            Answers.Table(
                ["place", "points", "average lx", "minimum", "maximum", "min/average", "min/max"],
                _maps.Select(m => (string[])[m.Place, $"{m.Map.Grid.CountU} x {m.Map.Grid.CountV}", F(m.Map.Average), F(m.Map.Minimum), F(m.Map.Maximum), F(m.Map.Uniformity, "0.00"), F(m.Map.Diversity, "0.00")])
                    .Concat(_meshes.Select(m => (string[])[m.Place, $"{m.Lux.Lux.Length} faces", F(m.Lux.Average), F(m.Lux.Lux.Min()), F(m.Lux.Lux.Max()), F(m.Lux.Average > 0 ? m.Lux.Lux.Min() / m.Lux.Average : 0, "0.00"), F(m.Lux.Lux.Max() > 0 ? m.Lux.Lux.Min() / m.Lux.Lux.Max() : 0, "0.00")])));
        }

        if (_points.Count > 0)
        {
            Answers.Table(
                ["point", "horizontal lx", "toward audience", "toward left", "toward right", "toward upstage", "cylindrical", "of it off mirrors", "of it from surfaces"],
                _points.Select(p => (string[])[Point(p.Point), F(p.Lux.Horizontal), F(p.Lux.TowardAudience), F(p.Lux.TowardLeft), F(p.Lux.TowardRight), F(p.Lux.TowardUpstage), F(p.Lux.Cylindrical), F(p.Lux.HorizontalReflected), F(p.Lux.HorizontalSurface)]));
        }

        if (_asked.IsCheck)
        {
            PrintCheck();
        }

        foreach (var file in _files)
        {
            Console.WriteLine(file);
        }

        Console.WriteLine(_asked.ClearAir ? "in clear air" : $"through haze of {F(_moment.Haze.ExtinctionPerMetre, "0.000")} per metre (--clear-air leaves it out)");
    }

    private void Measure()
    {
        var quantity = _asked.Quantity(_rig);
        var range = _asked.ModellingRange();
        var meter = new LightMeter(_moment, OcclusionScene.From(_moment), _asked.Settings);
        foreach (var place in _asked.On.Count > 0 ? _asked.On : [.. _rig.Areas.Select(a => a.Name)])
        {
            if (TryPoint(place, out var point))
            {
                _points.Add((point, PointLux.At(meter, point)));
            }
            else if (place.StartsWith("scenery:", StringComparison.OrdinalIgnoreCase))
            {
                _meshes.Add((place, MeshMeter.Measure(meter, Piece(place[8..]))));
            }
            else
            {
                var grid = Area(place);
                var map = GridMeter.Measure(meter, grid, quantity);
                _maps.Add((place, map));
                Findings.AddRange(_asked.IsCheck ? FrontLight.Check(meter, place, map, _asked.Least ?? 0, range) : []);
                Write(place, map);
            }
        }

        if (_asked.Reach is { } candidates && Findings.Count > 0)
        {
            FrontLight.Reach(_rig, candidates, Findings, quantity, _asked.Settings);
        }
    }

    private MeasuringGrid Area(string name)
    {
        var area = _rig.Areas.FirstOrDefault(a => a.Name.Equals(name, StringComparison.OrdinalIgnoreCase))
            ?? throw StopException.Wrong($"--on {name}: {_rig.File} has no area of that name; it has {string.Join(", ", _rig.Areas.Select(a => a.Name).DefaultIfEmpty("none"))}");
        return new MeasuringGrid(area.Origin, area.EdgeU, area.EdgeV, area.CountU, area.CountV, area.Normal);
    }

    private MeshInstance Piece(string name)
    {
        foreach (var piece in _moment.Scenery.Span)
        {
            if (piece.Name >= 0 && _moment.SceneryNames[piece.Name].Equals(name, StringComparison.OrdinalIgnoreCase))
            {
                return piece;
            }
        }

        throw StopException.Wrong($"--on scenery:{name}: {_rig.File} has no scenery of that name; it has {string.Join(", ", _rig.Scenery.Select(s => s.Name).Distinct())}");
    }

    private void Write(string place, LuxMap map)
    {
        if (_asked.Out is not { } folder)
        {
            return;
        }

        Directory.CreateDirectory(folder);
        var stem = Path.Combine(folder, FrameNames.Slug(place));
        var title = $"{_rig.Name}: {place}, {_asked.Measure}";
        PngPicture.Write(stem + ".png", LuxMapPicture.Draw(map, title));
        File.WriteAllText(stem + ".svg", LuxSvg.Write(map, title));
        var csv = new StringBuilder("x,y,z,lux\n");
        for (var i = 0; i < map.Lux.Length; i++)
        {
            var p = map.Grid.Point(i % map.Grid.CountU, i / map.Grid.CountU);
            csv.Append(CultureInfo.InvariantCulture, $"{p.X:0.####},{p.Y:0.####},{p.Z:0.####},{map.Lux[i]:0.###}\n");
        }

        File.WriteAllText(stem + ".csv", csv.ToString());
        _files.AddRange([stem + ".png", stem + ".svg", stem + ".csv"]);
    }

    private void PrintCheck()
    {
        if (Findings.Count == 0)
        {
            Console.WriteLine("front light: every position is within the limits given");
            return;
        }

        Answers.Table(
            ["place", "position", "lx", "cylindrical/horizontal", "why", "could reach it, with"],
            Findings.Select(f => (string[])
            [
                f.Place, Point(f.Position), F(f.Lux), F(f.Modelling, "0.00"), f.Why,
                f.Reach is null ? "" : f.Reach.Count == 0 ? "none of those named" : string.Join("; ", f.Reach.Take(MostNamed).Select(r => $"{r.Fixture} {F(r.Lux, "0")} lx")) + (f.Reach.Count > MostNamed ? $"; {f.Reach.Count - MostNamed} more (--json names all)" : ""),
            ]));
    }
}
