using StageView.Light.Moments;
using StageView.Render.Beams;
using StageView.Render.Layout;
using StageView.Render.Scenery;
using StageView.Render.Settings;
using StageView.Render.Stops;
using StageView.Render.Views;

namespace StageView.Render.Plans;

/// <summary>Makes the plans of a frame's views and keeps them for the next frame.</summary>
internal sealed class ViewPlans(MirrorGroups mirrors, SceneryRows scenery, BeamBatch batch, BeamStops stops, HullShapes shapes)
{
    /// <summary>
    /// Views filled before anything is drawn; more (mirrors in mirrors in mirrors) are filled one by one as they are drawn, and share one place.
    /// </summary>
    private const int Ahead = 40;

    private readonly List<ViewPlan> _plans = [];
    private readonly ViewPlan _shared = new();
    private int _used;
    private bool _tiled;
    private bool _coarse;

    /// <summary>Mirror planes of this frame that would be seen and stay black, as views are bounded.</summary>
    public int Black { get; private set; }

    /// <summary>Those of this frame, by their numbers.</summary>
    public IReadOnlyList<ViewPlan> All => _plans[.._used];

    /// <summary>Those that were filled before anything is drawn.</summary>
    public IReadOnlyList<ViewPlan> Filled => _plans[..Math.Min(_used, Ahead)];

    /// <summary>
    /// Views that may be drawn side by side into one set of targets, because no tile of one is another's: a GPU that has little to do for each
    /// then does them together. In the order given but for those that have to wait.
    /// </summary>
    public static List<List<ViewPlan>> SideBySide(IEnumerable<ViewPlan> plans)
    {
        var batches = new List<List<ViewPlan>>();
        foreach (var plan in plans)
        {
            var batch = batches.Find(b => !b.Exists(other => Share(Tiles(other), Tiles(plan))));
            if (batch is null)
            {
                batches.Add(batch = []);
            }

            batch.Add(plan);
        }

        return batches;
    }

    /// <summary>A view and all that it needs behind its mirrors.</summary>
    public ViewPlan Make(Moment moment, View view, RenderSettings settings, bool tiled)
    {
        (_used, _tiled, _coarse, Black) = (0, tiled, settings.Coarse, 0);
        var plan = Add(moment, view, settings, 0);
        // On this thread: all of them take a millisecond, and to wake others takes longer.
        foreach (var ahead in Filled)
        {
            ahead.Fill(moment, scenery, batch, stops, shapes, tiled, _coarse);
        }

        return plan;
    }

    /// <summary>The view's lenses.</summary>
    public LensCorners LensesOf(ViewPlan plan, Moment moment)
    {
        if (IsAhead(plan))
        {
            return plan.Lenses;
        }

        _shared.Lenses.Fill(moment, plan.View);
        return _shared.Lenses;
    }

    /// <summary>The view's hulls, to be used before the next view's are asked for.</summary>
    public BeamHulls HullsOf(ViewPlan plan)
    {
        if (IsAhead(plan))
        {
            return plan.Hulls;
        }

        _shared.Hulls.Fill(batch, stops, shapes, plan.View, withFaint: !plan.IsSmall, indexed: !_tiled, _coarse);
        return _shared.Hulls;
    }

    private static (int X0, int Y0, int X1, int Y1) Tiles(ViewPlan plan)
    {
        var (x, y, width, height) = plan.View.Around(plan.Reach);
        return (x / TileGrid.Side, y / TileGrid.Side, (x + width - 1) / TileGrid.Side, (y + height - 1) / TileGrid.Side);
    }

    private static bool Share((int X0, int Y0, int X1, int Y1) a, (int X0, int Y0, int X1, int Y1) b) =>
        a.X0 <= b.X1 && b.X0 <= a.X1 && a.Y0 <= b.Y1 && b.Y0 <= a.Y1;

    private static bool IsAhead(ViewPlan plan) => plan.Number < Ahead;

    private ViewPlan Add(Moment moment, View view, RenderSettings settings, int level)
    {
        if (_plans.Count == _used)
        {
            _plans.Add(new ViewPlan());
        }

        var plan = _plans[_used++];
        plan.Begin(view, _used - 1, level, _coarse && !_tiled);
        if (level >= settings.MirrorDepth)
        {
            return plan;
        }

        var shown = mirrors.All.Select((group, i) => (Group: group, Area: MirrorGroups.AreaIn(group, view), i)).Where(s => !s.Group.Shines || !_coarse);

        // Largest first; the order of equals is that of the moment, so frames repeat.
        foreach (var (group, area, _) in shown.OrderByDescending(s => (long)s.Area.Width * s.Area.Height).ThenBy(s => s.i))
        {
            ViewPlan? behind = null;
            if (area.Width > 0 && plan.Mirrors.Count >= settings.MirrorViewsAt(level))
            {
                Black++;
            }
            else if (area.Width > 0)
            {
                var middle = group.Outlines[group.Outlines.Count / 2][0];
                behind = Add(moment, view.Mirrored(group.PointOfImagePlane(view.Eye, middle), group.Normal, group.Plane, area), settings, level + 1);
                behind.HasLenses = !group.Shines;
            }

            plan.Mirrors.Add((group, behind));
        }

        return plan;
    }
}
