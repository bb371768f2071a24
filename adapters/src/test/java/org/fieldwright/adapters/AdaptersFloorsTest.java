package org.fieldwright.adapters;

import static com.tngtech.archunit.base.DescribedPredicate.alwaysTrue;
import static com.tngtech.archunit.base.DescribedPredicate.not;
import static com.tngtech.archunit.core.domain.JavaClass.Predicates.resideInAPackage;
import static com.tngtech.archunit.core.domain.JavaClass.Predicates.resideInAnyPackage;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;

import com.tngtech.archunit.core.importer.ImportOption.DoNotIncludeTests;
import com.tngtech.archunit.junit.AnalyzeClasses;
import com.tngtech.archunit.junit.ArchTest;
import com.tngtech.archunit.lang.ArchRule;
import com.tngtech.archunit.library.dependencies.SlicesRuleDefinition;

/** An adapter knows core and the world; it knows neither another adapter nor who uses it. */
@AnalyzeClasses(packages = "org.fieldwright.adapters", importOptions = DoNotIncludeTests.class)
class AdaptersFloorsTest {
  /** Reading text and YAML safely: what several adapters stand on, and no adapter itself. */
  private static final String[] GROUND = {
    "org.fieldwright.adapters.text..", "org.fieldwright.adapters.yaml.."
  };

  @ArchTest
  static final ArchRule NO_ADAPTER_KNOWS_ANOTHER =
      SlicesRuleDefinition.slices()
          .matching("org.fieldwright.adapters.(*)..")
          .should()
          .notDependOnEachOther()
          .ignoreDependency(alwaysTrue(), resideInAnyPackage(GROUND))
          .allowEmptyShould(true);

  @ArchTest
  static final ArchRule GROUND_KNOWS_NO_ADAPTER =
      noClasses()
          .that()
          .resideInAnyPackage(GROUND)
          .should()
          .dependOnClassesThat(
              resideInAPackage("org.fieldwright.adapters.(*)..")
                  .and(not(resideInAnyPackage(GROUND))));

  @ArchTest
  static final ArchRule NO_ADAPTER_KNOWS_THE_APP =
      noClasses().should().dependOnClassesThat().resideInAPackage("org.fieldwright.app..");

  @ArchTest
  static final ArchRule NO_ADAPTER_PRINTS =
      noClasses()
          .should()
          .accessField(System.class, "out")
          .orShould()
          .accessField(System.class, "err");
}
