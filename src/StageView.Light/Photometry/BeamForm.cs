namespace StageView.Light.Photometry;

/// <summary>What a beam's section looks like.</summary>
public enum BeamForm
{
    Round,

    /// <summary>Lines of equal intensity are ellipses: angles off the axis count by their own share along +X and +Y.</summary>
    Ellipse,

    /// <summary>The product of a curve along +X and one along +Y: straight edges, corners as soft as the edges are.</summary>
    Rectangle,
}
