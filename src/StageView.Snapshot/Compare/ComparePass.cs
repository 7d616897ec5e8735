using StageView.Snapshot.Images;

namespace StageView.Snapshot.Compare;

/// <summary>One comparison of two pictures of one size that are not equal.</summary>
internal sealed class ComparePass
{
    private readonly FrameImage _before;
    private readonly FrameImage _after;
    private readonly CompareSettings _settings;
    private readonly ChangeMap _map;
    private int _changed;
    private int _faint;
    private int _edge;
    private int _largest;
    private int _ignored;
    private double? _perceptual;
    private IReadOnlyList<AreaChange> _areas = [];

    public ComparePass(FrameImage before, FrameImage after, CompareSettings settings, FrameMask? mask)
    {
        (_before, _settings) = (before, settings);
        _map = new ChangeMap(before.Width, before.Height);
        _after = mask is null && !settings.Regions.Any(r => r.Ignore) ? after : Blank(before, after, settings, mask);
    }

    public FrameComparison Run()
    {
        var own = _settings.Regions.Where(r => !r.Ignore && r.Levels is not null).ToArray();
        if (own.Length == 0)
        {
            Area(_before, _after, _settings.Levels, 0, 0);
        }
        else
        {
            Parts(own);
        }

        var over = _changed > _settings.ChangedShare * _before.PixelCount;
        return new FrameComparison
        {
            Verdict = over ? FrameVerdict.Changed : _largest > 0 ? FrameVerdict.WithinTolerance : FrameVerdict.Identical,
            LargestLevels = _largest,
            ChangedPixels = _changed,
            FaintPixels = _faint,
            EdgePixels = _edge,
            IgnoredPixels = _ignored,
            TotalPixels = _before.PixelCount,
            LargestPerceptual = _perceptual,
            Areas = over ? _areas : [],
            Map = _map,
        };
    }

    /// <summary>The new picture with the base's pixels wherever nothing is to be compared.</summary>
    private FrameImage Blank(FrameImage before, FrameImage after, CompareSettings settings, FrameMask? mask)
    {
        var kept = after.Clone();
        for (var y = 0; y < before.Height; y++)
        {
            for (var x = 0; x < before.Width; x++)
            {
                var ignored = mask is not null && mask.Ignores(x, y);
                foreach (var region in settings.Regions)
                {
                    var (x0, y0, x1, y1) = region.Pixels(before.Width, before.Height);
                    if (x >= x0 && x < x1 && y >= y0 && y < y1)
                    {
                        ignored = region.Ignore;
                    }
                }

                if (ignored)
                {
                    before.At(x, y).CopyTo(kept.At(x, y));
                    _map.Pixels[(y * before.Width) + x] = PixelChange.Ignored;
                    _ignored++;
                }
            }
        }

        return _ignored < before.PixelCount ? kept
            : throw new SnapshotException("masks and regions leave no pixel to compare: paint what is to be compared lighter than black");
    }

    /// <summary>Regions with a tolerance of their own are cut out and compared by it; the rest by the frame's.</summary>
    private void Parts(CompareRegion[] own)
    {
        var rest = _after.Clone();
        for (var n = own.Length - 1; n >= 0; n--)
        {
            var (x0, y0, x1, y1) = own[n].Pixels(_before.Width, _before.Height);
            if (x1 <= x0 || y1 <= y0)
            {
                continue;
            }

            Area(Cut(_before, x0, y0, x1, y1), Cut(rest, x0, y0, x1, y1), own[n].Levels!.Value, x0, y0);
            for (var y = y0; y < y1; y++)
            {
                var at = 4 * ((y * _before.Width) + x0);
                _before.Rgba.AsSpan(at, 4 * (x1 - x0)).CopyTo(rest.Rgba.AsSpan(at));
            }
        }

        Area(_before, rest, _settings.Levels, 0, 0);
    }

    private static FrameImage Cut(FrameImage from, int x0, int y0, int x1, int y1)
    {
        var cut = new FrameImage(x1 - x0, y1 - y0);
        for (var y = y0; y < y1; y++)
        {
            from.Rgba.AsSpan(4 * ((y * from.Width) + x0), 4 * (x1 - x0)).CopyTo(cut.Rgba.AsSpan(4 * (y - y0) * cut.Width));
        }

        return cut;
    }

    private void Area(FrameImage before, FrameImage after, int levels, int left, int top)
    {
        var whole = before.Width == _map.Width && before.Height == _map.Height;
        var map = whole ? _map : new ChangeMap(before.Width, before.Height);
        var sums = BlockSums.Of(before, after, levels);
        var over = new BlockPart[sums.Largest.Length];
        var perceptual = _settings.Mode == CompareMode.Perceptual;
        var rows = new EdgeTest[sums.Rows];
        Parallel.For(0, sums.Rows, row =>
        {
            rows[row] = new EdgeTest(before, after, levels);
            for (var block = row * sums.Columns; block < (row + 1) * sums.Columns; block++)
            {
                if (sums.Over[block] > 0)
                {
                    over[block] = rows[row].Block(block % sums.Columns * BlockSums.Side, row * BlockSums.Side, map, _settings.ForgiveEdges);
                }
            }
        });
        var edges = new EdgeTest(before, after, levels);
        foreach (var row in rows)
        {
            edges.Take(row);
        }

        foreach (var largest in sums.Largest)
        {
            _largest = Math.Max(_largest, largest);
        }

        edges.Settle(map);
        _edge += edges.Jitter;
        _changed += perceptual ? 0 : edges.Changed;
        if (!perceptual && _largest > 0 && _settings.BlockLevels < byte.MaxValue)
        {
            Faint(before, after, sums, over, levels, map, whole);
        }

        if (perceptual)
        {
            var eye = new PerceptualPass(before, after, map, _settings.Perceptual);
            _changed += eye.Run(sums);
            _perceptual = Math.Max(_perceptual ?? 0, eye.Largest);
        }

        if (!whole)
        {
            Paste(map, left, top);
        }
    }

    /// <summary>Judges the pixels within the tolerance by the area they lie in; <paramref name="over"/> are each block's others.</summary>
    private void Faint(FrameImage before, FrameImage after, BlockSums sums, BlockPart[] over, int levels, ChangeMap map, bool whole)
    {
        var test = new AreaTest(before, after, sums, over, map, _settings.BlockLevels, levels);
        var marks = test.Run();
        for (var block = 0; block < marks.Length; block++)
        {
            if (marks[block] != AreaMark.None)
            {
                FaintBlock(before, after, test, block, map);
            }
        }

        if (whole)
        {
            _areas = new AreaGroups(before, after, sums, map, test, marks).Find();
        }
    }

    private void FaintBlock(FrameImage before, FrameImage after, AreaTest test, int block, ChangeMap map)
    {
        var (x0, y0) = (test.Left(block), test.Top(block));
        for (var y = y0; y < y0 + test.Height(block); y++)
        {
            for (var x = x0; x < x0 + test.Width(block); x++)
            {
                if (map[x, y] == PixelChange.Same && !before.At(x, y).SequenceEqual(after.At(x, y)))
                {
                    map.Pixels[(y * map.Width) + x] = PixelChange.Faint;
                    _faint++;
                    _changed++;
                }
            }
        }
    }

    private void Paste(ChangeMap part, int left, int top)
    {
        for (var y = 0; y < part.Height; y++)
        {
            for (var x = 0; x < part.Width; x++)
            {
                if (part[x, y] != PixelChange.Same)
                {
                    _map.Pixels[((top + y) * _map.Width) + left + x] = part[x, y];
                }
            }
        }
    }
}
