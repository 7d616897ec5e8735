namespace StageView.Light.Moments;

/// <summary>What a hung mesh is.</summary>
public enum SceneryKind
{
    /// <summary>Floors, walls, risers, set pieces.</summary>
    Scenery,

    /// <summary>A performer-height figure: blocks light and is asked about in front-light checks.</summary>
    Person,

    /// <summary>Trusses and pipes.</summary>
    Structure,

    /// <summary>A fixture's own housing: drawn, never blocks light (a head would shade itself).</summary>
    FixtureBody,
}
