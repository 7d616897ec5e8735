using StageView.Light.Moments;
using StageView.Render.Beams;
using StageView.Render.Scenery;
using StageView.Render.Stops;
using StageView.Render.Views;

namespace StageView.Render.Plans;

/// <summary>
/// A view and the views into its mirrors, with all that the CPU works out for them before the first is drawn: a GPU then never waits for it in the middle of a
/// frame.
/// </summary>
internal sealed class ViewPlan
{
    // Made when first filled: most views of mirrors in mirrors never are.
    private BeamHulls? _hulls;
    private SceneryInView? _scenery;
    private LensCorners? _lenses;
    private bool _coarse;

    public View View { get; private set; } = null!;

    /// <summary>Which of the frame's views it is, for <see cref="ViewBlock"/>.</summary>
    public int Number { get; private set; }

    /// <summary>Pixels around the area that coarse light asks for the distance there; they are emptied with it.</summary>
    public int Reach => _coarse ? 32 : IsSmall ? 8 : 24;

    /// <summary>
    /// In a mirror that covers under a twentieth of the picture the faintest is left out: what pixel surfaces throw on other surfaces and into the haze, and
    /// lamps that shine all round after a mirror.
    /// </summary>
    public bool IsSmall { get; private set; }

    /// <summary>Lenses are seen in it: in what shines, their images come with their beams' light.</summary>
    public bool HasLenses { get; set; }

    public BeamHulls Hulls => _hulls ??= new BeamHulls();

    public SceneryInView Scenery => _scenery ??= new SceneryInView();

    public LensCorners Lenses => _lenses ??= new LensCorners();

    /// <summary>Mirror planes, the largest in the picture first, each with the view into it, or null where none is drawn.</summary>
    public List<(MirrorGroups.Group Group, ViewPlan? Behind)> Mirrors { get; } = [];

    public void Begin(View view, int number, int level, bool coarse)
    {
        (View, Number, _coarse) = (view, number, coarse);
        IsSmall = level > 0 && (long)view.Area.Width * view.Area.Height * 20 < (long)view.Width * view.Height;
        HasLenses = true;
        Mirrors.Clear();
    }

    public void Fill(Moment moment, SceneryRows scenery, BeamBatch batch, BeamStops stops, HullShapes shapes, bool tiled, bool coarse)
    {
        Scenery.Fill(scenery, View, parts: coarse && !tiled);
        Lenses.Fill(moment, View);
        Hulls.Fill(batch, stops, shapes, View, withFaint: !IsSmall, indexed: !tiled, coarse);
    }
}
