namespace StageView.Stage.Programs;

/// <summary>What an attribute does, once its DIN SPEC 15800 name is read.</summary>
public enum AttributeOp : byte
{
    /// <summary>Recognised or not, it changes nothing here; reported as not simulated.</summary>
    NotSimulated,

    /// <summary>A stretch of a channel that does nothing (<c>NoFeature</c>).</summary>
    Nothing,
    Dimmer,
    Pan,
    Tilt,
    Travel,
    PanTurn,
    TiltTurn,

    /// <summary>How fast pan, tilt and winches move.</summary>
    MoveSpeed,
    DimmerSpeed,
    MixSpeed,
    ColourWheelSpeed,
    GoboWheelSpeed,
    IrisSpeed,
    PrismSpeed,
    FocusSpeed,
    FrostSpeed,
    ZoomSpeed,
    BeamSpeed,

    /// <summary>How fast everything but the dimmer moves.</summary>
    AllSpeed,

    /// <summary>The dimmer's response, by the name of what is chosen.</summary>
    DimmerCurve,
    Shutter,
    Strobe,
    StrobePulse,
    StrobePulseOpening,
    StrobePulseClosing,
    StrobeRandom,
    StrobeRandomPulse,
    StrobeRandomOpening,
    StrobeRandomClosing,
    StrobeFrequency,
    ModeOpen,
    ModeStrobe,
    ModePulse,
    ModeOpening,
    ModeClosing,
    ModeRandom,
    ModeRandomPulse,
    ModeRandomOpening,
    ModeRandomClosing,
    StrobeDuration,
    Zoom,
    Iris,

    /// <summary>Iris and frost that beat, in the order of the strobes.</summary>
    IrisStrobe,
    IrisPulse,
    IrisPulseOpening,
    IrisPulseClosing,
    IrisStrobeRandom,
    IrisRandomPulse,
    IrisRandomOpening,
    IrisRandomClosing,
    Frost,
    FrostRamp,
    FrostPulseOpening,
    FrostPulseClosing,
    Focus,
    Add,
    Cyan,
    Magenta,
    Yellow,

    /// <summary>Cyan, magenta and yellow of a colour that is mixed indirectly: they take red, green and blue away.</summary>
    MixCyan,
    MixMagenta,
    MixYellow,
    Hue,
    Saturation,
    Brightness,
    CieX,
    CieY,
    ToOrange,
    ToBlue,
    Temperature,
    Tint,
    ColourWheel,
    ColourWheelIndex,
    ColourWheelSpin,
    ColourWheelRandom,

    /// <summary>Colours that the fixture makes by itself, by the name or the slot of what is chosen.</summary>
    ColourMacro,
    GoboWheel,
    GoboWheelIndex,
    GoboWheelSpin,
    GoboWheelRandom,
    GoboAngle,
    GoboTurn,
    GoboShake,
    GoboSelectTurn,
    AnimationWheel,
    AnimationAngle,
    AnimationTurn,
    Prism,
    PrismAngle,
    PrismTurn,
    PrismSelectTurn,
    BladeA,
    BladeB,
    BladeTurn,

    /// <summary>Turns all blades together.</summary>
    BladesTurn,
}
