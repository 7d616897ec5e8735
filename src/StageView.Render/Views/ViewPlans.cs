using StageView.Light;

namespace StageView.Render;

/// <summary>Makes the plans of a frame's views and keeps them for the next frame.</summary>
internal sealed class ViewPlans(MirrorGroups mirrors, BeamBatch batch, BeamStops stops)
{
    /// <summary>Views filled before anything is drawn; more (mirrors in mirrors in mirrors) are filled one by one as they are drawn, and share one place.</summary>
    private const int Ahead = 40;

    private readonly List<ViewPlan> _plans = [];
    private readonly ViewPlan _shared = new();
    private int _used;

    /// <summary>A view and all that it needs behind its mirrors.</summary>
    public ViewPlan Make(Moment moment, View view, RenderSettings settings)
    {
        _used = 0;
        var plan = Add(moment, view, settings, 0);
        var ahead = Math.Min(_used, Ahead);
        if (ahead == 1)
        {
            plan.Fill(moment, batch, stops);
        }
        else
        {
            Parallel.For(0, ahead, i => _plans[i].Fill(moment, batch, stops));
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
    public BeamHulls HullsOf(ViewPlan plan, Moment moment)
    {
        if (IsAhead(plan))
        {
            return plan.Hulls;
        }

        _shared.Hulls.Fill(moment, batch, stops, plan.View, withFaint: !plan.IsSmall);
        return _shared.Hulls;
    }

    private bool IsAhead(ViewPlan plan) => _plans.IndexOf(plan, 0, Math.Min(_used, Ahead)) >= 0;

    private ViewPlan Add(Moment moment, View view, RenderSettings settings, int level)
    {
        if (_plans.Count == _used)
        {
            _plans.Add(new ViewPlan());
        }

        var plan = _plans[_used++];
        plan.Begin(view, level);
        if (level >= settings.MirrorDepth)
        {
            return plan;
        }

        var shown = mirrors.All.Select((group, i) => (Group: group, Area: MirrorGroups.AreaIn(moment, group, view), i));

        // Largest first; the order of equals is that of the moment, so frames repeat.
        foreach (var (group, area, _) in shown.OrderByDescending(s => (long)s.Area.Width * s.Area.Height).ThenBy(s => s.i))
        {
            ViewPlan? behind = null;
            if (area.Width > 0 && plan.Mirrors.Count < settings.MirrorViews)
            {
                var middle = moment.OutlineOf(moment.Mirrors.Span[group.Mirrors[group.Mirrors.Count / 2]].Outline)[0];
                behind = Add(moment, view.Mirrored(group.PointOfImagePlane(view.Eye, middle), group.Normal, group.Plane, area), settings, level + 1);
            }

            plan.Mirrors.Add((group, behind));
        }

        return plan;
    }
}
