using System.Numerics;

namespace StageView.Light.Colour;

/// <summary>
/// The CIE 1931 2° colour-matching functions at 10 nm from 380 to 780 nm: values of CIE 15 / ISO 11664-1. Sums over the table stand for
/// integrals times 1/10 nm.
/// </summary>
public static class CieObserver
{
    public const int FirstNanometres = 380;
    public const int StepNanometres = 10;
    public const int Count = 41;

    private static readonly float[] Table =
    [
        .001368f, .000039f, .006450f, .004243f, .000120f, .020050f, .014310f, .000396f, .067850f,
        .043510f, .001210f, .207400f, .134380f, .004000f, .645600f, .283900f, .011600f, 1.385600f,
        .348280f, .023000f, 1.747060f, .336200f, .038000f, 1.772110f, .290800f, .060000f, 1.669200f,
        .195360f, .090980f, 1.287640f, .095640f, .139020f, .812950f, .032010f, .208020f, .465180f,
        .004900f, .323000f, .272000f, .009300f, .503000f, .158200f, .063270f, .710000f, .078250f,
        .165500f, .862000f, .042160f, .290400f, .954000f, .020300f, .433450f, .994950f, .008750f,
        .594500f, .995000f, .003900f, .762100f, .952000f, .002100f, .916300f, .870000f, .001650f,
        1.026300f, .757000f, .001100f, 1.062200f, .631000f, .000800f, 1.002600f, .503000f, .000340f,
        .854450f, .381000f, .000190f, .642400f, .265000f, .000050f, .447900f, .175000f, .000020f,
        .283500f, .107000f, 0, .164900f, .061000f, 0, .087400f, .032000f, 0,
        .046770f, .017000f, 0, .022700f, .008210f, 0, .011359f, .004102f, 0,
        .005790f, .002091f, 0, .002899f, .001047f, 0, .001440f, .000520f, 0,
        .000690f, .000249f, 0, .000332f, .000120f, 0, .000166f, .000060f, 0,
        .000083f, .000030f, 0, .000042f, .000015f, 0,
    ];

    /// <summary>Wavelength of row <paramref name="i"/>, nm.</summary>
    public static int Nanometres(int i) => FirstNanometres + (i * StepNanometres);

    /// <summary>x̄, ȳ, z̄ of row <paramref name="i"/>, 0 to <see cref="Count"/> - 1.</summary>
    public static Vector3 Row(int i) => new(Table[3 * i], Table[(3 * i) + 1], Table[(3 * i) + 2]);

    /// <summary>x̄, ȳ, z̄ at any wavelength, linear between the rows, zero outside the table.</summary>
    public static Vector3 At(float nanometres)
    {
        var f = (nanometres - FirstNanometres) / StepNanometres;
        if (f < 0 || f > Count - 1)
        {
            return Vector3.Zero;
        }

        var i = Math.Min((int)f, Count - 2);
        return Vector3.Lerp(Row(i), Row(i + 1), f - i);
    }
}
