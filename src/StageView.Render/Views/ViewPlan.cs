using StageView.Light;

namespace StageView.Render;

/// <summary>A view and the views into its mirrors, with all that the CPU works out for them before the first is drawn: a GPU then never waits for it in the middle of a frame.</summary>
internal sealed class ViewPlan
{
    public View View { get; private set; } = null!;

    /// <summary>
    /// In a mirror that covers under a twentieth of the picture the faintest is left out: what pixel surfaces throw on other surfaces and into the haze, and
    /// lamps that shine all round after a mirror.
    /// </summary>
    public bool IsSmall { get; private set; }

    public BeamHulls Hulls { get; } = new();

    public LensCorners Lenses { get; } = new();

    /// <summary>Mirror planes, the largest in the picture first, each with the view into it, or null where none is drawn.</summary>
    public List<(MirrorGroups.Group Group, ViewPlan? Behind)> Mirrors { get; } = [];

    public void Begin(View view, int level)
    {
        View = view;
        IsSmall = level > 0 && (long)view.Area.Width * view.Area.Height * 20 < (long)view.Width * view.Height;
        Mirrors.Clear();
    }

    public void Fill(Moment moment, BeamBatch batch, BeamStops stops)
    {
        Lenses.Fill(moment, View);
        Hulls.Fill(moment, batch, stops, View, withFaint: !IsSmall);
    }
}
